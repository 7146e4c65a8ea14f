"""Which action the words of a line seem to mean. A proposal is never taken over without a person's word."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from stepwell.authoring.said_parts import LEAST, parts_named
from stepwell.authoring.said_verbs import leading
from stepwell.authoring.yaml_text import scalar
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.rig import Rig

_CLAUSE = re.compile(
    r"\s*(?:[;,]\s*(?:and\s+)?then\s+|;\s*|\.\s+(?=[A-Z])|,\s+(?:and\s+)?|\s+and\s+(?:then\s+)?|\s*[():]\s*)"
)
_NOT_DONE = re.compile(
    r"(?:do not|don't|never|check (?:that|whether|if)|make sure|ensure|confirm|verify|see|watch|if|when|unless|look|ask|call"
    r"|tell|say|keep|before|after|announce)\b",
    re.I,
)
_ONLY_IF = re.compile(r"\b(?:if|unless|in case|may be|must|should)\b", re.I)
"""A line that says when something is done, or what is right, and not to do it now."""
_QUANTITY = {
    "speed": re.compile(r"\b(\d{2,5})\s*(?:rpm|/min|revolutions)", re.I),
    "time": re.compile(r"\b(?:for\s+)(\d{1,4})\s*(seconds?|secs?|s|minutes?|mins?|min|hours?|h)\b", re.I),
}
_WAIT = re.compile(r"\b(\d{1,4})\s*(seconds?|secs?|s|minutes?|mins?|min|hours?|h)\b", re.I)
_TIMES = {"s": "s", "m": "min", "h": "h"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """One action: verb, parts, options as they are written, and the span of each part's name in the words."""

    verb: str
    parts: tuple[str, ...]
    options: tuple[tuple[str, str], ...]
    names: tuple[tuple[int, int, str], ...]
    confidence: float
    own: str = ""
    """The value of a verb without parts, such as the time of a wait."""

    def written(self) -> str:
        """As ``do`` takes it."""
        value = self.own or (self.parts[0] if len(self.parts) == 1 else "[" + ", ".join(self.parts) + "]")
        rest = "".join(f", {name}: {text}" for name, text in self.options)
        return f"{{{self.verb}: {value}{rest}}}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a line seems to mean: its actions, the words with the parts' names resolved, and how sure that is (0 to 1)."""

    actions: tuple[Meant, ...]
    say: str
    confidence: float

    def do(self) -> str:
        """The value of ``do``."""
        written = [action.written() for action in self.actions]
        return written[0] if len(written) == 1 else "[" + ", ".join(written) + "]"


def propose(say: str, rig: Rig) -> Proposal | None:
    """The action that the words seem to mean on this rig, or None where nothing is likely enough."""
    if _NOT_DONE.match(say.strip()) or _ONLY_IF.search(say) or say.rstrip().endswith("?"):
        return None
    actions: list[Meant] = []
    verbs: tuple[Verb, ...] = ()
    open_verb = False  # a verb was said, and no part of it yet
    for start, clause in _clauses(say):
        lead = leading(clause)
        wait = _wait(clause, lead)
        if wait is not None:
            actions.append(wait)
            continue
        lead = tuple(verb for verb in lead if verb.arity is not Arity.NONE)
        if lead and open_verb:
            return None  # what came before was not understood: half a proposal would mislead
        verbs = lead or verbs  # "open A and B": the second clause has the verb of the first
        found = _meant(clause, start, verbs, rig, led=bool(lead))
        if found is not None:
            actions.append(found)
        open_verb = found is None and (open_verb or bool(lead))
    confidence = min((action.confidence for action in actions), default=0.0)
    if open_verb or confidence < LEAST or all(action.verb == "wait" for action in actions):
        return None
    return Proposal(actions=tuple(actions), say=_renamed(say, actions), confidence=confidence)


def _clauses(say: str) -> Iterator[tuple[int, str]]:
    at = 0
    for match in (*_CLAUSE.finditer(say), None):
        end = len(say) if match is None else match.start()
        if say[at:end].strip():
            yield at, say[at:end]
        at = end if match is None else match.end()


def _wait(clause: str, lead: tuple[Verb, ...]) -> Meant | None:
    found = _WAIT.search(clause) if any(verb.name == "wait" for verb in lead) else None
    if found is None:
        return None
    time = f"{found[1]} {_TIMES[found[2][0].lower()]}"
    return Meant(verb="wait", parts=(), options=(), names=(), confidence=1.0, own=time)


def _meant(clause: str, start: int, verbs: tuple[Verb, ...], rig: Rig, *, led: bool) -> Meant | None:
    best: Meant | None = None
    for verb in verbs:
        found = parts_named(clause, verb, rig, led=led)
        if found is None:
            continue
        options, lacking = _options(clause, verb)
        if lacking:
            continue
        score = min(one.score for one in found)
        if any(one.score < 1 for one in found) and len(verb.pairs) > 1:
            score -= 0.05
        made = Meant(
            verb=verb.name,
            parts=tuple(one.part.id for one in found),
            options=options,
            names=tuple((start + one.start, start + one.end, one.part.id) for one in found),
            confidence=round(score, 2),
        )
        if best is None or made.confidence > best.confidence:
            best = made
    return best


def _options(clause: str, verb: Verb) -> tuple[tuple[tuple[str, str], ...], bool]:
    """The options that the words give, and whether a required one is lacking."""
    out: list[tuple[str, str]] = []
    for option in verb.options:
        if option.takes == "word":
            found = [word for word in option.choices if re.search(rf"\b{re.escape(word)}\b", clause, re.I)]
            value = scalar(found[0]) if len(found) == 1 else ""
        elif option.takes in _QUANTITY and (match := _QUANTITY[option.takes].search(clause)):
            value = f"{match[1]} rpm" if option.takes == "speed" else f"{match[1]} {_TIMES[match[2][0].lower()]}"
        else:
            value = ""
        if value:
            out.append((option.name, value))
        elif option.required:
            return (), True
    return tuple(out), False


def _renamed(say: str, actions: list[Meant]) -> str:
    """The words with the parts' names resolved; braces of the author's own are doubled."""
    out, at = "", 0
    for start, end, part in sorted({name for action in actions for name in action.names}):
        if start >= at:
            out += _doubled(say[at:start]) + f"{{{part}}}"
            at = end
    return out + _doubled(say[at:])


def _doubled(text: str) -> str:
    return text.replace("{", "{{").replace("}", "}}")


MARK = "# proposed"


def comments_of(proposal: Proposal) -> tuple[str, ...]:
    """The proposal as comments below ``say``."""
    return (
        f"{MARK} ({proposal.confidence * 100:.0f} %): accept it with stepwell import --accept",
        f"# say: {scalar(proposal.say)}",
        f"# do: {proposal.do()}",
    )


def shown(step: str, say: str, proposal: Proposal) -> str:
    """One line of the report."""
    return f"- {step} ({proposal.confidence * 100:.0f} %): {say} -> do: {proposal.do()}"


def accept(text: str, wanted: frozenset[str] | None) -> tuple[str, tuple[str, ...]]:
    """The file's text with the proposals of the ``wanted`` ids turned on (None: all), and the ids that were."""
    lines = text.splitlines(keepends=True)
    out: list[str] = []
    done: list[str] = []
    step, at = "", 0
    while at < len(lines):
        line = lines[at]
        if (found := re.match(r"\s*- id: ([a-z][a-z0-9]{3})\s*$", line)) is not None:
            step = found[1]
        follows = [one.strip() for one in lines[at + 1 : at + 4]]
        proposed = line.lstrip().startswith("say: ") and len(follows) == 3 and follows[0].startswith(MARK)
        if proposed and (wanted is None or step in wanted) and follows[1].startswith("# say: "):
            pad = line[: len(line) - len(line.lstrip())]
            out += [f"{pad}{follows[1][2:]}\n", f"{pad}{follows[2][2:]}\n"]
            done.append(step)
            at += 4
            continue
        out.append(line)
        at += 1
    return "".join(out), tuple(done)
