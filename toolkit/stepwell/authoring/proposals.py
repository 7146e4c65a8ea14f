"""Which action the words of a line seem to mean. A proposal is never taken over without a person's word."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from stepwell.authoring.yaml_text import scalar
from stepwell.circuit.catalogue import VERBS
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.rig import Part, Rig

LEAST = 0.6
"""Below this confidence nothing is proposed."""
_WORD = re.compile(r"[^\W_]+(?:-[^\W_]+)*")
_CLAUSE = re.compile(r"\s*(?:[;,]\s*(?:and\s+)?then\s+|;\s*|\.\s+(?=[A-Z])|,\s+(?:and\s+)?|\s+and\s+(?:then\s+)?)")
_NOT_DONE = re.compile(
    r"(?:do not|don't|never|check|make sure|ensure|confirm|verify|see|watch|if|when|unless|look|ask|call|tell|say)\b", re.I
)
_FILLER = frozenset(["the", "a", "an", "of", "on", "at", "in", "its", "your", "this", "that", "both", "each"])
_QUANTITY = {
    "speed": re.compile(r"\b(\d{2,5})\s*(?:rpm|/min|revolutions)", re.I),
    "time": re.compile(r"\b(?:for\s+)(\d{1,4})\s*(seconds?|secs?|s|minutes?|mins?|min|hours?|h)\b", re.I),
}
_TIMES = {"s": "s", "m": "min", "h": "h"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """One action: verb, parts, options as they are written, and the span of each part's name in the words."""

    verb: str
    parts: tuple[str, ...]
    options: tuple[tuple[str, str], ...]
    names: tuple[tuple[int, int, str], ...]
    confidence: float

    def written(self) -> str:
        """As ``do`` takes it."""
        value = self.parts[0] if len(self.parts) == 1 else "[" + ", ".join(self.parts) + "]"
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


@dataclass(frozen=True, slots=True)
class _Found:
    part: Part
    start: int
    end: int
    score: float


def propose(say: str, rig: Rig) -> Proposal | None:
    """The action that the words seem to mean on this rig, or None where nothing is likely enough."""
    if _NOT_DONE.match(say.strip()):
        return None
    actions: list[Meant] = []
    verbs: tuple[Verb, ...] = ()
    for start, clause in _clauses(say):
        lead = _leading(clause)
        verbs = lead or verbs  # "open A and B": the second clause has the verb of the first
        found = _meant(clause, start, verbs, rig)
        if found is None:
            if lead:
                return None  # a clause that does something else: half a proposal would mislead
            continue
        actions.append(found)
    if not actions:
        return None
    confidence = min(action.confidence for action in actions)
    if confidence < LEAST:
        return None
    return Proposal(actions=tuple(actions), say=_renamed(say, actions), confidence=confidence)


def _clauses(say: str) -> Iterator[tuple[int, str]]:
    at = 0
    for match in (*_CLAUSE.finditer(say), None):
        end = len(say) if match is None else match.start()
        if say[at:end].strip():
            yield at, say[at:end]
        at = end if match is None else match.end()


def _leading(clause: str) -> tuple[Verb, ...]:
    words = [word.lower() for word in _WORD.findall(clause)]
    if words[:1] and words[0] in ("now", "then", "fully", "slowly", "gently", "carefully", "first"):
        words = words[1:]
    return tuple(verb for verb in VERBS if words[:1] and words[0] in verb.words) if words else ()


def _meant(clause: str, start: int, verbs: tuple[Verb, ...], rig: Rig) -> Meant | None:
    best: Meant | None = None
    for verb in verbs:
        if verb.arity is Arity.NONE:
            continue
        found = _parts(clause, verb, rig)
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


def _parts(clause: str, verb: Verb, rig: Rig) -> tuple[_Found, ...] | None:
    chosen: list[_Found] = []
    for kinds in verb.pairs:
        known = [part for part in rig.parts if part.kind in kinds and part.id not in {one.part.id for one in chosen}]
        scored = sorted(
            (one for part in known for one in [_named(clause, part)] if one is not None), key=lambda one: -one.score
        )
        if not scored or scored[0].score < LEAST:
            return None
        if len(scored) > 1 and scored[0].score - scored[1].score < 0.05 and len(verb.pairs) == 1:
            return None  # two parts fit equally
        if len(verb.pairs) > 1:
            top = [one for one in scored if one.score >= scored[0].score - 0.05]
            scored = sorted(top, key=lambda one: one.start)
        chosen.append(scored[0])
    return tuple(chosen)


def _named(clause: str, part: Part) -> _Found | None:
    """The words of the clause that are most like the part's label."""
    said = [(match.start(), match.end(), match[0].lower()) for match in _WORD.finditer(clause)]
    best: _Found | None = None
    for name in {part.label.lower(), part.id.replace("-", " ")}:
        wanted = [word for word in _WORD.findall(name) if word not in _FILLER]
        hits = [[one for one in said[1:] if _like(one[2], word)] for word in wanted]
        found = [one[0] for one in hits if one]
        if not wanted or not found:
            continue
        inside = [one for one in said if found and min(f[0] for f in found) <= one[0] <= max(f[0] for f in found)]
        strange = len([one for one in inside if one[2] not in _FILLER]) - len(found)
        score = len(found) / len(wanted) - 0.1 * max(strange, 0)
        made = _Found(part, min(one[0] for one in found), max(one[1] for one in found), round(score, 2))
        if best is None or made.score > best.score:
            best = made
    return best


def _like(said: str, wanted: str) -> bool:
    if said == wanted or said.rstrip("s") == wanted.rstrip("s"):
        return True
    return len(wanted) > 4 and said[0] == wanted[0] and SequenceMatcher(None, said, wanted).ratio() >= 0.85


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
