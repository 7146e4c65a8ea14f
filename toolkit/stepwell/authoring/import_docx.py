"""A Word document as blocks. Everything that a reader could see is in them, and what hides (struck out, hidden, beside)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from stepwell.authoring.blocks import Block, Reading, Sort, UnreadableError
from stepwell.authoring.docx_lists import Lists, Styles, W, value, whole
from stepwell.authoring.docx_package import Package, open_package
from stepwell.authoring.marks import tidy, unboxed

MOST_BLOCKS = 4_000
_DRAWN = "{http://schemas.openxmlformats.org/drawingml/2006/main}t"
_OFF = frozenset({"0", "false", "off", "none"})
_ASIDE = (("header", "page header"), ("footer", "page footer"), ("comments", "comment"))
_SKIPPED = frozenset({"pPr", "rPr", "tblPr", "tblGrid", "trPr", "tcPr", "sdtPr", "sdtEndPr", "sectPr", "instrText"})
_SIGNS = {"A8": "☐", "6F": "☐", "71": "☐", "72": "☐", "FE": "☑", "FC": "✓", "B7": "•", "E0": "→", "D8": "➢"}
_PLAIN = {"tab": " ", "br": " ", "cr": " ", "ptab": " ", "noBreakHyphen": "-", "softHyphen": ""}


def read_docx(data: bytes) -> Reading:
    """The blocks of a .docx in the order of reading. Raises UnreadableError."""
    return _Reader(open_package(data)).read()


class _Reader:
    def __init__(self, package: Package) -> None:
        self.package = package
        self.styles = Styles.of(package.linked("styles"))
        self.lists = Lists(package.linked("numbering"), self.styles)
        self.blocks: list[Block] = []
        self.remarks: Counter[str] = Counter()
        self.paragraph = 0
        self.table = 0
        self.page = 1
        self.place = ""
        self.links = package.links.get(package.main, {})

    def read(self) -> Reading:
        body = self.package.texts[self.package.main].find(W + "body")
        if body is None:
            raise UnreadableError("The document has no text.", "Open it in your word processor and look.")
        self._body(body)
        for sort in ("footnotes", "endnotes"):
            for tree in self.package.linked(sort):
                self._notes(tree, sort[:-1])
        for sort, what in _ASIDE:
            for tree in self.package.linked(sort):
                self.place = what
                for text in self._paragraphs(tree):
                    self._beside(text, what)
        self._elsewhere()
        return Reading(blocks=tuple(self.blocks), remarks=tuple(_told(self.remarks)))

    def _body(self, body: Element) -> None:
        for child in body:
            name = _name(child)
            if name == "p":
                self._paragraph(child)
            elif name == "tbl":
                self._table(child)
            elif name == "altChunk":
                self.remarks["embedded document that can't be read"] += 1
            elif name not in _SKIPPED:
                self._body(child)  # content controls and tracked blocks wrap paragraphs

    def _paragraph(self, element: Element) -> None:
        self.paragraph += 1
        self.place = f"page {self.page}, paragraph {self.paragraph}" if self.page > 1 else f"paragraph {self.paragraph}"
        properties = element.find(W + "pPr")
        style = value(properties, "pStyle") or self._usual()
        text = tidy(self._text(element))
        ticked, plain = unboxed(text)
        line = self.lists.next(properties, style)
        if not text:
            return
        heading = self.styles.heading(style, properties)
        if heading >= 0:
            sort = Sort.HEADING if heading else Sort.TITLE
            self._add(Block(sort=sort, text=text, place=self.place, level=heading, number=line.number if line else ""))
        elif line is not None or ticked is not None:
            level, number = (line.level, line.number) if line else (0, "")
            self._add(Block(sort=Sort.ITEM, text=plain, place=self.place, level=level, number=number, ticked=ticked))
        else:
            self._add(Block(sort=Sort.PARAGRAPH, text=text, place=self.place))

    def _usual(self) -> str:
        """The look of paragraphs that name none."""
        of = (id_ for id_, one in self.styles.by_id.items() if one.get(W + "default") == "1")
        return next((id_ for id_ in of if self.styles.by_id[id_].get(W + "type") == "paragraph"), "")

    def _table(self, table: Element) -> None:
        self.table += 1
        number = self.table
        for at, row in enumerate(_inside(table, "tr"), 1):
            self.place = f"table {number}, row {at}"
            cells: list[str] = []
            for cell in _inside(row, "tc"):
                cells.append(" ".join(self._paragraphs(cell)))
                span = whole(value(cell.find(W + "tcPr"), "gridSpan"), 1)
                cells += [""] * (min(span, 60) - 1)
            if any(cells):
                text = " ".join(cell for cell in cells if cell)
                self._add(Block(sort=Sort.ROW, text=text, place=self.place, cells=tuple(cells), table=number))

    def _paragraphs(self, element: Element) -> Iterator[str]:
        for child in element:
            if _name(child) == "p":
                style = value(child.find(W + "pPr"), "pStyle") or self._usual()
                line = self.lists.next(child.find(W + "pPr"), style)
                text = tidy(self._text(child))
                if text:
                    yield f"{line.number} {text}" if line and line.number else text
            elif _name(child) not in _SKIPPED:
                yield from self._paragraphs(child)

    def _text(self, element: Element) -> str:
        """The visible words of an element; what hides or stands beside goes into blocks of its own."""
        out: list[str] = []
        for child in element:
            name = _name(child)
            if name in ("t", "delText") or child.tag.endswith("/math}t"):
                out.append(child.text or "")
            elif name in _PLAIN:
                out.append(_PLAIN[name])
                self.page += name == "br" and child.get(W + "type") == "page"
            elif name in ("del", "moveFrom"):
                self._hide(child, "struck out by a tracked change")
            elif name in ("ins", "moveTo"):
                self.remarks["words put in by changes that were tracked; they are taken as agreed"] += 1
                out.append(self._text(child))
            elif name == "r" and _vanishes(child):
                self._hide(child, "hidden text")
            else:
                out.append(self._other(child, name))
        return "".join(out)

    def _other(self, child: Element, name: str) -> str:
        if name in _SKIPPED:
            return ""
        if name == "lastRenderedPageBreak":
            self.page += 1
        elif name == "sym":
            return self._sign(child)
        elif name == "checkBox":
            return "☐ "
        elif name in ("footnoteReference", "endnoteReference"):
            return f" [note {child.get(W + 'id', '')}] "
        elif name == "txbxContent":
            for text in self._paragraphs(child):
                self._beside(text, "text box")
        elif name == "AlternateContent":
            # The same thing twice: for new readers, and for old ones.
            chosen = next((one for one in child if _name(one) == "Choice"), child)
            return self._text(chosen)
        elif name in ("docPr", "shape"):
            self._picture(child)
            return self._text(child)
        elif name == "hyperlink":
            self._linked(child)
            return self._text(child)
        elif name in ("object", "OLEObject"):
            self.remarks["embedded object that can't be read"] += 1
            return self._text(child)
        elif name in ("fldChar", "ffData"):
            return "☐ " if next(child.iter(W + "checkBox"), None) is not None else ""
        else:
            return self._text(child)
        return ""

    def _linked(self, element: Element) -> None:
        for key, id_ in element.attrib.items():
            link = self.links.get(id_) if key.endswith("}id") else None
            if link is not None and link.outside:
                self._beside(link.target, "link, which was not followed")

    def _picture(self, element: Element) -> None:
        told = element.get("descr") or element.get("alt") or element.get("title") or ""
        if told:
            self._beside(told, "description of a picture")
        self.remarks["picture that stays in the document"] += _name(element) == "docPr"

    def _sign(self, element: Element) -> str:
        code = element.get(W + "char", "").upper().removeprefix("F0")
        if code in _SIGNS:
            return _SIGNS[code] + " "
        self.remarks["sign of a private font that can't be read"] += 1
        return ""

    def _hide(self, element: Element, what: str) -> None:
        text = "".join(self._text(element)) if _name(element) != "r" else self._text(element)
        if tidy(text):
            self._beside(text, what)

    def _notes(self, tree: Element, what: str) -> None:
        for note in tree:
            id_ = note.get(W + "id", "")
            self.place = f"{what} {id_}"
            words = " ".join(self._paragraphs(note))
            if words:
                self._beside(f"[note {id_}] {words}", what)

    def _elsewhere(self) -> None:
        """Words of charts and diagrams, which are parts of their own; and what the package carries besides."""
        for name, tree in sorted(self.package.texts.items()):
            words = " ".join(text for one in tree.iter(_DRAWN) if (text := one.text))
            if words and name.startswith(("word/diagrams/data", "word/charts/")):
                self.place = name.rpartition("/")[2]
                self._beside(words, "chart or diagram")
        if any("vbaproject" in name.lower() for name in self.package.others):
            self.remarks["set of macros; none was run"] += 1

    def _beside(self, text: str, what: str) -> None:
        if tidy(text):
            self._add(Block(sort=Sort.BESIDE, text=tidy(text), place=self.place, what=what))

    def _add(self, block: Block) -> None:
        if len(self.blocks) >= MOST_BLOCKS:
            raise UnreadableError(
                f"The document has more than {MOST_BLOCKS:,} paragraphs and rows; that is no single procedure.",
                "Save each procedure as a document of its own.",
            )
        self.blocks.append(block)


def _inside(element: Element, wanted: str) -> Iterator[Element]:
    """Rows of a table or cells of a row, also those in content controls and tracked changes; none of a table within."""
    for child in element:
        if _name(child) == wanted:
            yield child
        elif _name(child) in ("sdt", "sdtContent", "ins", "customXml"):
            yield from _inside(child, wanted)


def _vanishes(run: Element) -> bool:
    mark = run.find(f"{W}rPr/{W}vanish")
    return mark is not None and mark.get(W + "val", "1") not in _OFF


def _name(element: Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _told(remarks: Counter[str]) -> Iterator[str]:
    for what, times in remarks.items():
        if times:
            yield f"{times} times: {what}." if times > 1 else f"Once: {what}."
