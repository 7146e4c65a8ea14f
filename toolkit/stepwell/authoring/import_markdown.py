"""A Markdown file as blocks."""

from __future__ import annotations

import re
from html import unescape

from markdown_it import MarkdownIt
from markdown_it.token import Token

from stepwell.authoring.blocks import Block, Reading, Sort, UnreadableError
from stepwell.authoring.marks import tidy, unboxed

MOST_BYTES = 2_000_000
MOST_BLOCKS = 4_000
_FRONT = re.compile(r"\A---[ ]*\n(.*?\n)(?:---|\.\.\.)[ ]*(?:\n|\Z)", re.DOTALL)
_TAG = re.compile(r"</?[A-Za-z][^<>]*>|<!--|-->")


def read_markdown(data: bytes) -> Reading:
    """The blocks of a Markdown file in the order of reading. Raises UnreadableError."""
    if len(data) > MOST_BYTES:
        raise UnreadableError(f"The file has {len(data):,} bytes; the most is {MOST_BYTES:,}.", "Import it in parts.")
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        raise UnreadableError("The file is not UTF-8 text.", "In your editor choose Save as, and UTF-8.") from error
    if "\x00" in text:
        raise UnreadableError("This is no text file.", "Name a Markdown file or a Word document (.docx).")
    return _Reader().read(text)


class _Reader:
    def __init__(self) -> None:
        self.blocks: list[Block] = []
        self.lists: list[tuple[bool, int]] = []
        self.line = 0
        self.tables = 0
        self.cells: list[str] | None = None
        self.quotes = 0

    def read(self, text: str) -> Reading:
        front = _FRONT.match(text)
        skipped = 0
        if front:
            self.line = 1
            self._beside(front[1], "head of the file")
            skipped = front[0].count("\n")
            text = text[front.end() :]
        parser = MarkdownIt("commonmark", {"maxNesting": 40}).enable(["table", "strikethrough"])
        tokens = parser.parse(text)
        fresh = False  # the next paragraph is the first of its line
        heading = 0
        for token in tokens:
            if token.map:
                self.line = token.map[0] + 1 + skipped
            match token.type:
                case "ordered_list_open":
                    self.lists.append((True, int(token.attrs.get("start", 1)) - 1))
                case "bullet_list_open":
                    self.lists.append((False, 0))
                case "ordered_list_close" | "bullet_list_close":
                    self.lists.pop()
                case "list_item_open":
                    ordered, at = self.lists[-1]
                    self.lists[-1] = (ordered, at + 1)
                    fresh = True
                case "heading_open":
                    heading = int(token.tag[1:])
                case "heading_close":
                    heading = 0
                case "table_open":
                    self.tables += 1
                case "tr_open":
                    self.cells = []
                case "tr_close":
                    self._row()
                case "inline":
                    fresh = self._inline(token, heading, fresh)
                case "fence" | "code_block":
                    self._add(
                        Block(
                            sort=Sort.PARAGRAPH, text=tidy(f"{token.info} {token.content}"), place=self._place(), what="code"
                        )
                    )
                case "html_block":
                    self._beside(_without_tags(token.content), "HTML")
        return Reading(blocks=tuple(self.blocks))

    def _inline(self, token: Token, heading: int, fresh: bool) -> bool:
        text = tidy(self._words(token))
        if self.cells is not None:
            self.cells.append(text)
        elif heading:
            self._add(Block(sort=Sort.HEADING, text=text, place=self._place(), level=heading))
        elif fresh and self.lists:
            ordered, at = self.lists[-1]
            ticked, plain = unboxed(text)
            level = len(self.lists) - 1
            number = f"{at}." if ordered else ""
            self._add(Block(sort=Sort.ITEM, text=plain, place=self._place(), level=level, number=number, ticked=ticked))
        else:
            self._add(Block(sort=Sort.PARAGRAPH, text=text, place=self._place()))
        return False

    def _words(self, token: Token) -> str:
        out: list[str] = []
        for child in token.children or ():
            if child.type in ("text", "code_inline"):
                out.append(child.content)
            elif child.type in ("softbreak", "hardbreak"):
                out.append(" ")
            elif child.type == "html_inline":
                self._beside(_without_tags(child.content), "HTML")
            elif child.type == "image":
                self._beside(f"{child.content} {child.attrs.get('src', '')} {child.attrs.get('title', '')}", "picture")
            elif child.type == "link_open":
                target = f"{child.attrs.get('href', '')} {child.attrs.get('title', '')}"
                self._beside(target, "link, which was not followed")
        return "".join(out)

    def _row(self) -> None:
        cells, self.cells = tuple(self.cells or ()), None
        text = " ".join(cell for cell in cells if cell)
        if text:
            self._add(Block(sort=Sort.ROW, text=text, place=self._place(), cells=cells, table=self.tables))

    def _place(self) -> str:
        return f"line {self.line}"

    def _beside(self, text: str, what: str) -> None:
        if tidy(text):
            self._add(Block(sort=Sort.BESIDE, text=tidy(text), place=self._place(), what=what))

    def _add(self, block: Block) -> None:
        if len(self.blocks) >= MOST_BLOCKS:
            raise UnreadableError(f"The file has more than {MOST_BLOCKS:,} lines.", "Save each procedure on its own.")
        if block.text:
            self.blocks.append(block)


def _without_tags(text: str) -> str:
    return unescape(_TAG.sub(" ", text))
