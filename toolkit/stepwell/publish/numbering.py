"""What is printed for each line: numbers that run on through the sheet, letters in any-order blocks."""

from __future__ import annotations

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Lanes, Meet, Repeat, Stage, Step


def marks_of(body: Body) -> dict[str, str]:
    """The printed mark of every step and question by its id.

    Ordered lines are numbered consecutively; a line that stands directly in an any-order block has a letter instead, so
    that its place on the page is not read as its turn (writers' guide, as in the reference of writing rules: ordered
    steps numbered, unordered ones bulleted). Letters run on too: a reference to "step c" is never ambiguous.
    """
    found: dict[str, str] = {}
    _Counter(found).walk(body, ordered=True)
    return found


class _Counter:
    """Counts while walking the body in the order of the page."""

    def __init__(self, found: dict[str, str]) -> None:
        self.found = found
        self.numbers = 0
        self.letters = 0

    def walk(self, body: Body, *, ordered: bool) -> None:
        for item in body:
            match item:
                case Step(id=name):
                    self.found[name] = self.number() if ordered else self.letter()
                case Choose(id=name, outcomes=outcomes):
                    self.found[name] = self.number()
                    for outcome in outcomes:
                        self.walk(outcome.body, ordered=True)
                case AnyOrder(body=inner):
                    self.walk(inner, ordered=False)
                case Stage(body=inner) | Repeat(body=inner):
                    self.walk(inner, ordered=True)
                case Lanes(lanes=lanes):
                    for lane in lanes:
                        self.walk(lane.body, ordered=True)
                case Hold() | Meet():
                    pass

    def number(self) -> str:
        self.numbers += 1
        return str(self.numbers)

    def letter(self) -> str:
        at = self.letters
        self.letters += 1
        return chr(ord("a") + at) if at < 26 else chr(ord("a") + at // 26 - 1) + chr(ord("a") + at % 26)
