"""From blocks to a draft. Nothing is dropped: what has no place on the card becomes a remark."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from stepwell.authoring.blocks import Block, Sort
from stepwell.authoring.columns import columns_of
from stepwell.authoring.draft import NOT_SAID, Draft, Group, Line, Remark, Told, Warned
from stepwell.authoring.marks import boxed, typed_number
from stepwell.authoring.people import People
from stepwell.rules.writing.verbs import LEADING

_STATED = re.compile(r"\w+\s+(?:is|are|was|were|has|have|must|may|can|should|will)\b", re.I)
"""A sentence that states something, although its first word could be an order: "Lift is held by the porter"."""
_SECTIONS: tuple[tuple[str, str], ...] = (
    (
        "kit",
        r"(?:kit(?: list)?|equipment|materials?|supplies|you (?:will )?need|what you need|things to fetch|items needed)",
    ),
    ("cautions", r"(?:cautions?|precautions?|safety|warnings?|general warnings|safety notes?)"),
    ("sources", r"(?:sources?|references?|literature)"),
    ("use", r"(?:use when|when to use(?: it)?|indications?)"),
    ("not", r"(?:do not use when|when not to use(?: it)?|contraindications?)"),
)
_USE = re.compile(r"(?:use (?:it )?when|when to use|indications?)\s*[:–-]\s*", re.IGNORECASE)
_NOT = re.compile(r"(?:do not use (?:it )?when|not when|contraindications?)\s*[:–-]\s*", re.IGNORECASE)
_WARN = re.compile(r"(?P<word>danger|warning|caution|attention)\b(?:\s*[:!.–-]+\s*|\s+(?=[A-Z]))", re.IGNORECASE)
_NOTE = re.compile(r"(?:note|notes|nb|n\.b\.|reason|rationale|why|because|remark|hint|tip)\s*[:!–]\s*", re.IGNORECASE)
_SEVERITY = {"danger": "fatal", "warning": "serious", "caution": "minor", "attention": "serious"}
_REF = re.compile(r"\[note [^\]]*\]")
_CROSS = re.compile(r"\b(?:steps?|lines?|items?|points?)\s+\d", re.IGNORECASE)
_IF = re.compile(r"(?:if|when|unless|in case|otherwise)\b", re.IGNORECASE)
_AMOUNT = re.compile(
    r"(?P<first>\d{1,4})\s*(?:x|×|pcs)?\s+(?P<name>\D.*)|(?P<name2>.+?)\s*[(,x×:–-]\s*(?P<last>\d{1,4})\)?\s*"
)
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")
_IN_TABLE = 100
"""The level of stages that a table's spanning rows make: below every heading."""


def draft_of(blocks: Sequence[Block], people: People, title: str) -> Draft:
    """The draft; ``title`` where the document has none. Its body may be empty of lines.

    If no line is numbered or begins with a verb that is known, every paragraph is taken as a line.
    """
    made = _Builder(people, every=False).build(blocks, title)
    return made if made.body.lines() else _Builder(people, every=True).build(blocks, title)


class _Builder:
    def __init__(self, people: People, *, every: bool) -> None:
        self.people = people
        self.every = every
        self.draft = Draft()
        self.stack: list[Group] = [self.draft.body]
        self.inner: list[Group] = []
        """Stages that lines with lines below them make; their level is that of the line."""
        self.section = ""
        self.pending: list[tuple[Block, Warned]] = []
        self.last: Line | None = None
        self.heads: dict[int, tuple[str, ...]] = {}

    def build(self, blocks: Sequence[Block], title: str) -> Draft:
        tables = {number: list(rows) for number, rows in groupby((b for b in blocks if b.table), key=lambda b: b.table)}
        done: set[int] = set()
        for at, block in enumerate(blocks):
            after = next((one for one in blocks[at + 1 :] if one.sort is not Sort.BESIDE), None)
            match block.sort:
                case Sort.TITLE | Sort.HEADING:
                    self._heading(block)
                case Sort.PARAGRAPH:
                    self._paragraph(block)
                case Sort.ITEM:
                    self._item(block, after)
                case Sort.ROW:
                    if block.table not in done:
                        done.add(block.table)
                        self._table(tables[block.table])
                case Sort.BESIDE:
                    self.draft.beside.append(Remark(text=f"{block.what}: {block.text}", place=block.place))
                    self._tell(block.place, f"{block.what}: {block.text}")
        self._let_go()
        self.draft.title = self.draft.title or title
        return self.draft

    def _heading(self, block: Block) -> None:
        self._let_go()
        self.inner.clear()
        section = self._section(block.text)
        if not self.draft.title and not self.draft.body.items and not section:
            self.draft.title = block.text
            self._number(block)
            return
        self.section = section
        self._number(block)
        if section:
            self._tell(block.place, f"The heading “{block.text}” was taken as what the lines below it are.")
            return
        level = block.level or 1
        while len(self.stack) > 1 and self.stack[-1].level >= level:
            self.stack.pop()
        made = Group(title=block.text, place=block.place, level=level)
        self.stack[-1].items.append(made)
        self.stack.append(made)

    def _section(self, text: str) -> str:
        plain = re.sub(r"^[\d.\s]+", "", text).strip(" :.").lower()
        return next((name for name, words in _SECTIONS if re.fullmatch(words, plain)), "")

    def _number(self, block: Block) -> None:
        if block.number:
            self._tell(block.place, f"The heading has the number {block.number}: {block.text}")

    def _paragraph(self, block: Block) -> None:
        if self._marked(block):
            return
        number, text = typed_number(block.text)
        if self._listed(block, text):
            return
        verb = text.split(maxsplit=1)[0].lower().strip(",.:;") if text else ""
        if block.what != "code" and (
            number or self.every or (verb in LEADING and not text.endswith(":") and not _STATED.match(text))
        ):
            if not number:
                self._tell(block.place, f"It has no number, but was taken as a line: {text}")
            self._line(text, block.place, number)
        else:
            self._remark(block)

    def _item(self, block: Block, after: Block | None) -> None:
        while self.inner and self.inner[-1].level >= block.level:
            self.inner.pop()
        if self._marked(block) or self._listed(block, block.text):
            return
        if block.ticked:
            self._tell(block.place, f"The box is ticked in the document: {block.text}")
        deeper = after is not None and after.sort is Sort.ITEM and after.level > block.level
        if deeper and block.text.endswith(":"):
            made = Group(title=block.text, place=block.place, level=block.level, listed=True)
            self._here().items.append(made)
            self.inner.append(made)
            if block.number:
                self._tell(block.place, f"{block.number} {block.text} was taken as the title of the lines below it.")
            return
        number, text = ("", block.text) if block.number else typed_number(block.text)
        self._line(text, block.place, block.number or number)

    def _here(self) -> Group:
        return self.inner[-1] if self.inner else self.stack[-1]

    def _listed(self, block: Block, text: str) -> bool:
        """True if the text stands under a heading that says what it is."""
        match self.section:
            case "kit":
                self._kit(text, block.place)
            case "cautions":
                self.draft.cautions.append(text)
            case "sources":
                self.draft.sources.append(text)
            case "use":
                self.draft.use_when.append(text)
            case "not":
                self.draft.do_not_use_when.append(text)
            case _:
                return False
        if block.number:
            self._tell(block.place, f"The number {block.number} was left out: {text}")
        elif text != block.text:
            self._tell(block.place, f"The number was left out: {block.text}")
        return True

    def _kit(self, text: str, place: str) -> None:
        match = _AMOUNT.fullmatch(text)
        if match is None:
            self.draft.kit.append((text, "1"))
        else:
            name = (match["name"] or match["name2"]).strip()
            self.draft.kit.append((name, match["first"] or match["last"]))
            self._tell(place, f"Read as how many and what: {text}")

    def _marked(self, block: Block) -> bool:
        """True if the first word says what the text is: a warning, a note, when to use the card."""
        text = block.text
        number = f"{block.number} " if block.number else ""
        for pattern, into in ((_NOT, self.draft.do_not_use_when), (_USE, self.draft.use_when)):
            if (match := pattern.match(text)) is not None and text[match.end() :]:
                into.append(text[match.end() :])
                self._tell(block.place, f"Read as when the card is or is not used: {number}{text}")
                return True
        if (match := _WARN.match(text)) is not None and text[match.end() :]:
            self.pending.append((block, _warned(text[match.end() :], _SEVERITY[match["word"].lower()])))
            return True
        if (match := _NOTE.match(text)) is not None and text[match.end() :] and self.last is not None:
            self.last.why.append(text[match.end() :])
            self._tell(block.place, f"Taken as the reason of the line “{self.last.say}”: {number}{text}")
            return True
        return False

    def _line(self, text: str, place: str, number: str = "", who: str = "") -> Line | None:
        refs = _REF.findall(text)
        text = " ".join(_REF.sub(" ", text).split())
        said, text = ("", text) if who else self.people.leading(text)
        line = Line(say=text or NOT_SAID, place=place, number=number, notes=list(refs))
        self._who(line, who or said)
        if not (who or said):
            line.who = self.people.usual
        if _CROSS.search(text):
            self._tell(place, f"It names another line by its number, which the card does not have: {text}")
        if _IF.match(text):
            self._tell(place, f"This line is a condition; consider `choose`: {text}")
        for block, warned in self.pending:
            line.warn.append(warned)
            lacking = [name for name in ("hazard", "consequence", "avoidance") if getattr(warned, name) == NOT_SAID]
            tail = (
                f"; {' and '.join(lacking)} are not said"
                if len(lacking) > 1
                else f"; {lacking[0]} is not said"
                if lacking
                else ""
            )
            number = f"{block.number} " if block.number else ""
            self._tell(block.place, f"Taken as a warning of the line “{text}”{tail}: {number}{block.text}")
        self.pending.clear()
        self._here().items.append(line)
        self.last = line
        return line

    def _who(self, line: Line, said: str) -> None:
        role = self.people.role(said)
        line.who = role or self.people.usual
        if said:
            what = f"is {role} here" if role else f"is no role of the unit; {line.who} was put in"
            self._tell(line.place, f"“{said}” {what}: {line.say}")
            line.notes.append(f"the document says: {said}")

    def _remark(self, block: Block) -> None:
        text = f"{block.number} {block.text}".strip()
        self._here().items.append(Remark(text=text, place=block.place))
        self._tell(block.place, f"Not placed: {text}")

    def _let_go(self) -> None:
        """Warnings that no line follows become cautions of the whole card."""
        for block, _ in self.pending:
            self.draft.cautions.append(block.text)
            self._tell(block.place, f"A warning, but no line follows it; it became a caution: {block.number} {block.text}")
        self.pending.clear()
        self.last = None

    def _tell(self, place: str, text: str) -> None:
        self.draft.told.append(Told(place=place, text=text))

    def _table(self, rows: list[Block]) -> None:
        columns = columns_of(rows[0].cells)
        depth = len(self.stack)
        if columns is not None:
            self._tell(rows[0].place, f"Headings of the table: {rows[0].text}")
            self.heads[rows[0].table] = rows[0].cells
            for row in rows[1:]:
                self._row(row, columns)
        elif self.section == "kit":
            for row in rows:
                name, *more = [cell for cell in row.cells if cell]
                self.draft.kit.append((name, " ".join(more) or "1"))
        elif any(boxed(cell) for row in rows for cell in row.cells):
            for row in rows:
                words = " ".join(cell for cell in row.cells if cell and not boxed(cell))
                if words and any(boxed(cell) for cell in row.cells):
                    self._line(words, row.place)
                    self._signs([cell for cell in row.cells if boxed(cell)], row.place)
                else:
                    self._remark(row)
        else:
            for row in rows:
                self._remark(row)
        del self.stack[depth:]

    def _signs(self, cells: list[str], place: str) -> None:
        for cell in cells:
            if re.search(r"\w", cell):
                self._tell(place, f"A box to tick was left out: {cell}")

    def _row(self, row: Block, columns: tuple[str, ...]) -> None:
        cells = row.cells + ("",) * (len(columns) - len(row.cells))
        by = {name: cell for name, cell in zip(columns, cells, strict=False) if name and cell}
        if "what" not in columns:
            self.draft.kit.append((by.get("name", row.text), by.get("amount", "1")))
            self._over(row, cells, columns, ("name", "amount") if "name" in by else tuple(set(columns)))
            return
        filled = [cell for cell in cells if cell]
        if not by.get("what"):
            if len(filled) == 1 and filled[0] == cells[0] and not boxed(filled[0]):
                while self.stack[-1].level >= _IN_TABLE:
                    self.stack.pop()
                made = Group(title=filled[0], place=row.place, level=_IN_TABLE)
                self.stack[-1].items.append(made)
                self.stack.append(made)
            else:
                self._remark(row)
            return
        line = self._line(by["what"], row.place, by.get("number", ""), by.get("who", ""))
        if line is None:
            return
        line.see += [by["see"]] if "see" in by else []
        line.why += [by["why"]] if "why" in by else []
        if "warn" in by:
            line.warn.append(_warned(by["warn"], "serious"))
            self._tell(row.place, f"Taken as a warning; see what it does not say: {by['warn']}")
        if "confirm" in by:
            role = self.people.role(by["confirm"])
            line.confirm = role if role != line.who else ""
            self._tell(
                row.place, f"Who confirms: “{by['confirm']}”" + ("" if line.confirm else " (no other role of the unit)")
            )
            line.notes.append(f"the document says who confirms: {by['confirm']}")
        self._over(row, cells, columns, ("what", "number", "who", "see", "why", "warn", "confirm"), line)

    def _over(
        self, row: Block, cells: tuple[str, ...], columns: tuple[str, ...], used: tuple[str, ...], line: Line | None = None
    ) -> None:
        """Cells in columns that nobody knows."""
        names = columns + ("",) * (len(cells) - len(columns))
        heads = self.heads.get(row.table, ())
        for at, (name, cell) in enumerate(zip(names, cells, strict=False)):
            if cell and name not in used and not (boxed(cell) and not re.search(r"\w", cell)):
                text = f"{heads[at]}: {cell}" if at < len(heads) and heads[at] else cell
                self._tell(row.place, f"Not placed: {text}")
                if line is not None:
                    line.notes.append(text)


def _warned(text: str, severity: str) -> Warned:
    first, *rest = _SENTENCE.split(text)
    acts = [
        one for one in rest if one.split()[0].lower() in LEADING or re.match(r"(?:do not|never|always|don't)\b", one, re.I)
    ]
    if len(rest) == 1:
        consequence, avoidance = ("", rest[0]) if acts else (rest[0], "")
    else:
        consequence, avoidance = (rest[0], " ".join(rest[1:])) if rest else ("", "")
    return Warned(hazard=first, consequence=consequence or NOT_SAID, avoidance=avoidance or NOT_SAID, severity=severity)
