"""Opening a Word document without trusting it: no macro is run, no link is followed, nothing is unpacked to the disk."""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from dataclasses import dataclass
from xml.etree import ElementTree

from stepwell.authoring.blocks import UnreadableError

MOST_BYTES = 30_000_000
"""Of the file as it lies on the disk; pictures make documents large."""
MOST_XML = 40_000_000
"""Of all its texts together, unpacked."""
MOST_RATIO = 200
"""How many times larger than packed one text may be; documents reach about 30."""
SMALL = 1_000_000
"""Below this, unpacked, the ratio tells nothing."""
MOST_PARTS = 5_000

_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_REL = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
_SAVE = "Open it in your word processor and save it as a Word document (.docx)."


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A relationship of a part: to another part (``target`` is its name), or to somewhere outside."""

    sort: str
    target: str
    outside: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """The texts of a document by the names of its parts."""

    main: str
    texts: dict[str, ElementTree.Element]
    links: dict[str, dict[str, Link]]
    """Per part: relationship id -> where it leads."""
    others: tuple[str, ...]
    """Names of the parts that are no texts: pictures, macros, embedded files."""

    def linked(self, sort: str) -> list[ElementTree.Element]:
        """The texts that the main part is linked to by a sort of relationship, in the order of their names."""
        found = {link.target for link in self.links.get(self.main, {}).values() if link.sort == sort and not link.outside}
        return [self.texts[name] for name in sorted(found) if name in self.texts]


def open_package(data: bytes) -> Package:
    """The package in the bytes of a file. Raises UnreadableError."""
    if data.startswith(_OLD):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise UnreadableError("The document is locked with a password.", "Take the password off and save it again.")
        raise UnreadableError("This is a document of the old Word format (.doc).", _SAVE)
    if len(data) > MOST_BYTES:
        raise UnreadableError(
            f"The document has {len(data):,} bytes; the most is {MOST_BYTES:,}.",
            "Save it without its pictures, or in parts.",
        )
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _package(archive)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OSError) as error:
        raise UnreadableError("This is not a Word document, or it is damaged.", _SAVE) from error
    except RuntimeError as error:  # zipfile's word for an encrypted member
        raise UnreadableError(
            "The document is locked with a password.", "Take the password off and save it again."
        ) from error


def _package(archive: zipfile.ZipFile) -> Package:
    infos = archive.infolist()
    if len(infos) > MOST_PARTS:
        raise UnreadableError(f"The document consists of {len(infos):,} parts; that is no procedure.", _SAVE)
    texts: dict[str, ElementTree.Element] = {}
    left = MOST_XML
    for info in infos:
        if not info.filename.endswith((".xml", ".rels")):
            continue
        data = _unpacked(archive, info, left)
        left -= len(data)
        texts[info.filename] = _tree(data)
    links = {name: _links(name, tree) for name, tree in texts.items() if name.endswith(".rels")}
    links = {_owner(name): found for name, found in links.items()}
    main = next((link.target for link in links.get("", {}).values() if link.sort == "officeDocument"), "")
    if main not in texts or not texts[main].tag.endswith("}document"):
        raise UnreadableError("There is no Word text in this file; it may be a table or a presentation.", _SAVE)
    others = tuple(info.filename for info in infos if not info.filename.endswith((".xml", ".rels", "/")))
    return Package(main=main, texts=texts, links=links, others=others)


def _unpacked(archive: zipfile.ZipFile, info: zipfile.ZipInfo, left: int) -> bytes:
    # The sizes that the archive states may lie, so the reading itself is limited.
    with archive.open(info) as stream:
        data = stream.read(left + 1)
    if len(data) > left or (len(data) > SMALL and len(data) > MOST_RATIO * max(info.compress_size, 1)):
        raise UnreadableError(
            "The document is far larger unpacked than packed; a document that somebody wrote never is.",
            "Get it again from whom you trust, or copy its text into a new document.",
        )
    return data


def _tree(data: bytes) -> ElementTree.Element:
    # Word never writes a document type; entities in one can grow without end or name files.
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data or b"<\x00!\x00D\x00" in data:
        raise UnreadableError("The document declares entities, which Word never does.", _SAVE)
    try:
        return ElementTree.fromstring(data)
    except (ElementTree.ParseError, LookupError, ValueError) as error:
        raise UnreadableError("The document is damaged: one of its texts can't be read.", _SAVE) from error


def _owner(name: str) -> str:
    folder, _, file = name.rpartition("/")
    return posixpath.join(posixpath.dirname(folder), file.removesuffix(".rels"))


def _links(name: str, tree: ElementTree.Element) -> dict[str, Link]:
    base = posixpath.dirname(_owner(name))
    found: dict[str, Link] = {}
    for link in tree.iter(_REL):
        target, outside = link.get("Target", ""), link.get("TargetMode") == "External"
        if not outside:
            target = posixpath.normpath(posixpath.join(base, target)) if not target.startswith("/") else target[1:]
        found[link.get("Id", "")] = Link(sort=link.get("Type", "").rpartition("/")[2], target=target, outside=outside)
    return found
