"""Translations (gettext) as entries, so that a change is told step by step. The text is given; nothing is opened here."""

from __future__ import annotations

import ast
import re

from stepwell.compare.tree import Node

SUFFIX = ".po"
_KEY = re.compile(r"(msgctxt|msgid|msgstr)\s+(\".*\")$")


def translation(text: str) -> Node:
    """The entries of a catalogue; what is not understood is kept line by line, so that nothing is passed over."""
    entries: list[Node] = []
    odd: list[str] = []
    names: dict[str, int] = {}
    for block in re.split(r"\n\s*\n", text.replace("\r\n", "\n").strip()):
        values, rest = _entry(block)
        odd += rest
        if not values:
            continue
        name = values.get("msgctxt") or values.get("msgid") or "(head)"
        if name in names and "msgctxt" in values:
            name = f"{name}: {values.get('msgid', '')}"  # a step has several texts; never by their count
        names[name] = names.get(name, 0) + 1
        once = name if names[name] == 1 else f"{name} ({names[name]})"
        fields = (
            ("id", once),
            *((key, values.get(key, "(no such line)")) for key in ("msgid", "msgstr")),
            ("fuzzy", "fuzzy" in values),
        )
        entries.append(Node(sort="translation-entry", fields=fields, slot="entries"))
    return Node(sort="translation", fields=(("other-lines", tuple(odd)),), children=tuple(entries))


def _entry(block: str) -> tuple[dict[str, str], list[str]]:
    values: dict[str, str] = {}
    odd: list[str] = []
    key = ""
    for line in block.splitlines():
        line = line.strip()
        found = _KEY.match(line)
        words = found[2] if found else line if line.startswith('"') and key else None
        if found:
            key = found[1]
            if key in values:
                odd.append(line)  # a second text of the same kind; its words are added all the same
            values.setdefault(key, "")
        if words is not None:
            try:
                values[key] += str(ast.literal_eval(words))
            except (SyntaxError, ValueError):
                odd.append(line)
        elif line.startswith("#,") and "fuzzy" in line:
            values["fuzzy"] = "fuzzy"
        elif line:
            odd.append(line)
    return values, odd
