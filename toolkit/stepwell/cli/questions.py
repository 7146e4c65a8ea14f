"""Questions on a terminal: a text, one of a list, several of a list. A wrong answer is asked again, never fatal."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.render.text.wrap import plain_ascii, wrap

_MOST_TRIES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A word that may be answered, and what it means."""

    word: str
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Questions:
    """Asks on a terminal. Elsewhere the answer is the default, or UsageProblem names the flag that gives it."""

    console: Console

    @property
    def live(self) -> bool:
        """True if somebody can answer."""
        return sys.stdin.isatty() and self.console.live

    def need(self, **given: str | None) -> None:
        """Where nobody can answer, every flag that is missing is named at once. Raises UsageProblem."""
        missing = [f"--{name.replace('_', '-')}" for name, value in given.items() if not value]
        if missing and not self.live:
            raise UsageProblem("There is nobody at a terminal who could be asked.", f"Add {', '.join(missing)}.")

    def text(self, question: str, flag: str, later: str = "") -> str:
        """A text of one line; ``later`` stands there until it is written, if nothing is answered."""
        default = later
        if not self.live:
            return self._silent(question, flag, default)
        for _ in range(_MOST_TRIES):
            answer = self._ask(question, "write it later" if later else "")
            if answer or default:
                return answer or default
            self._say("Please write something.")
        raise UsageProblem("There was no answer.", f"Answer, or add {flag}.")

    def one(self, question: str, flag: str, choices: Sequence[Choice], given: str | None, default: str = "") -> str:
        """One word of a list; by its number too. What is ``given`` must be one of them."""
        if given is not None:
            return one_of(given, tuple(choice.word for choice in choices))
        if not self.live:
            return self._silent(question, flag, default)
        return self._listed(question, flag, choices, default, several=False)[0]

    def several(self, question: str, flag: str, choices: Sequence[Choice], given: str | None) -> tuple[str, ...]:
        """One word or more, with commas between."""
        words = tuple(choice.word for choice in choices)
        if given is not None:
            return tuple(one_of(one.strip(), words) for one in given.split(",") if one.strip())
        if not self.live:
            self._silent(question, flag, "")
        return self._listed(f"{question} Several with commas between.", flag, choices, "", several=True)

    def _listed(
        self, question: str, flag: str, choices: Sequence[Choice], default: str, *, several: bool
    ) -> tuple[str, ...]:
        for number, choice in enumerate(choices, 1):
            self._say(f"{choice.word}{f': {choice.told}' if choice.told else ''}", f"  {number:>2}  ")
        words = tuple(choice.word for choice in choices)
        for _ in range(_MOST_TRIES):
            answer = self._ask(question, default) or default
            given = answer.split(",") if several else [answer]
            try:
                found = tuple(dict.fromkeys(_meant(one.strip(), words) for one in given if one.strip()))
            except UsageProblem as problem:
                self._say(f"{problem} {problem.mend}")
                continue
            if found:
                return found
            self._say("Answer with a number or a word of the list.")
        raise UsageProblem("There was no answer that is on the list.", f"Answer, or add {flag}.")

    def _ask(self, question: str, default: str) -> str:
        self.console.write(self._plain(f"{question}{f' [{default}]' if default else ''} "))
        answer = sys.stdin.readline()
        if not answer:
            raise UsageProblem("There was no answer.", "Nothing was written.")
        return answer.strip()

    def _silent(self, question: str, flag: str, default: str) -> str:
        if default:
            return default
        raise UsageProblem(f"Not told: {question}", f"Add {flag}.")

    def _say(self, text: str, indent: str = "") -> None:
        lines = wrap(text, self.console.look.width, indent, " " * len(indent))
        self.console.write(self._plain("\n".join(lines) + "\n"))

    def _plain(self, text: str) -> str:
        return text if self.console.look.full else plain_ascii(text)


def _meant(answer: str, words: tuple[str, ...]) -> str:
    if answer.isdigit() and 1 <= int(answer) <= len(words):
        return words[int(answer) - 1]
    return one_of(answer, words)


def one_of(text: str, known: tuple[str, ...]) -> str:
    """One of a few words. Raises UsageProblem."""
    from stepwell.source.near import did_you_mean

    if text not in known:
        raise UsageProblem(f"There is no {text!r}.", did_you_mean(text, known, what="There are"))
    return text
