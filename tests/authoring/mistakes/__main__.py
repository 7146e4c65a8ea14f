"""Print how many mistakes are told rightly: ``python -m tests.authoring.mistakes [-v] [--page] [--kept-back] [NAME...]``."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.authoring.mistakes.ask import Answer, ask
from tests.authoring.mistakes.bank import mistakes


def main(words: list[str]) -> None:
    """Ask about every mistake, or those named, and print the rates; with ``-v`` what was said to each."""
    names = [word for word in words if not word.startswith("-")]
    bank = mistakes("kept_back" if "--kept-back" in words else "bank")
    with tempfile.TemporaryDirectory() as folder:
        answers = [ask(one, Path(folder), page="--page" in words) for one in bank if not names or one.name in names]
    for answer in answers:
        if "-v" in words or not answer.right or answer.schema is False:
            show(answer)
    print(rates(answers))


def show(answer: Answer) -> None:
    """One answer, with what is wrong with it."""
    wrong = [name for name in ("right_line", "right_mend", "plain", "terminal", "page") if not getattr(answer, name)]
    print(f"{'ok   ' if not wrong else 'WRONG'} {answer.mistake.name} {' '.join(wrong)}")
    print(f"      line {answer.line} of {answer.mistake.lines}: {answer.message}")
    print(f"      to mend: {answer.mend} (+{answer.more})")
    if answer.schema is not None:
        print(f"      schema {'ok' if answer.schema else 'WRONG'}: {'; '.join(answer.marked) or 'nothing marked'}")


def rates(answers: list[Answer]) -> str:
    """The figures, one a line."""
    total, told = len(answers), [answer for answer in answers if answer.schema is not None]
    rows = [
        ("right line and right mend, terminal and page", sum(answer.right for answer in answers), total),
        ("right line", sum(answer.right_line for answer in answers), total),
        ("right mend", sum(answer.right_mend for answer in answers), total),
        ("in plain words", sum(answer.plain for answer in answers), total),
        ("nothing else is told", sum(answer.more == 0 for answer in answers), total),
        ("marked by the schema in an editor", sum(bool(answer.schema) for answer in told), len(told)),
    ]
    return "\n".join(f"{name:<46} {good:>4} of {of:<4} {100 * good / of if of else 0:.1f} %" for name, good, of in rows)


if __name__ == "__main__":
    main(sys.argv[1:])
