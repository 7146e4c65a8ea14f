"""Words on parts: the settings of a baseline, and the state a procedure starts from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from stepwell.circuit.entry import Family
from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Starts
from stepwell.model.rig import Setting
from stepwell.source import faults
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.read_connected import connected
from stepwell.source.scope import PartInfo, Scope
from stepwell.source.sections import FROM_PROCEDURE, OPEN_STATE
from stepwell.source.vocabulary import state_words, variable_of

JOINED = "joined"
CONNECTED = "connected"
FROM = "from"


@dataclass(slots=True)
class _Found:
    settings: list[Setting] = field(default_factory=list)
    open_settings: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    mates: dict[str, str] = field(default_factory=dict)


def read_settings(
    entries: Iterable[Entry], scope: Scope, *, may_be_open: bool
) -> tuple[tuple[Setting, ...], tuple[tuple[str, tuple[str, ...]], ...]]:
    """The settings, and the words left open per part (``{any: [...]}``, only where ``may_be_open``)."""
    found = _Found()
    for entry in entries:
        if entry.key == JOINED:
            _joined(entry, scope, found)
        elif entry.key == CONNECTED:
            connected(entry, scope, found.settings, found.mates)
        else:
            _part(entry, scope, found, may_be_open)
    return tuple(found.settings), tuple(found.open_settings)


def _part(entry: Entry, scope: Scope, found: _Found, may_be_open: bool) -> None:
    info = scope.parts.get(entry.key) if scope.parts is not None else None
    if scope.parts is not None and info is None:
        scope.no_part(entry.key, entry.key_span)
    nodes: list[Node] = entry.value.items if isinstance(entry.value, Listing) else [entry.value]
    taken: dict[str, str] = {}
    for node in nodes:
        if isinstance(node, Mapping):
            words = _open_words(entry, node, info, scope, may_be_open)
            if words:
                found.open_settings.append((entry.key, words))
                _at_odds(entry, words[0], node, info, taken, scope)
            continue
        word = _word(entry.key, node, info, scope)
        if word is None:
            continue
        _at_odds(entry, word, node, info, taken, scope)
        span = node.span if isinstance(entry.value, Listing) else entry.span
        found.settings.append(Setting(part=entry.key, word=word, span=span))


def _at_odds(entry: Entry, word: str, node: Node, info: PartInfo | None, taken: dict[str, str], scope: Scope) -> None:
    if info is None or info.kind is None:
        return
    variable = variable_of(info.kind, word)
    if variable in taken:
        scope.notes.add(
            faults.STATES_AT_ODDS,
            node.span,
            f"{quote(entry.key)} can't be {quote(taken[variable])} and {quote(word)} at once.",
            "Keep one; where either may be so, write `{any: [...]}` in `starts`.",
        )
    taken[variable] = word


def _word(part: str, node: Node, info: PartInfo | None, scope: Scope) -> str | None:
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
        choices = state_words(info.kind) if info is not None and info.kind is not None else ()
        example = choices[0] if choices else "open"
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{quote(part)} takes a word for its state, but here is {described(node)}.",
            f"Write for example `{part}: {example}`.",
        )
        return None
    if info is None or info.kind is None:
        return node.text
    known = state_words(info.kind)
    if node.text in known:
        return node.text
    if node.text == JOINED or node.text.startswith("joined:"):
        mend = f"Write `joined: [[{part}, other-end]]`."
    elif node.text == CONNECTED or node.text.startswith("connected:"):
        mend = f"Write `connected: [[{part}, wall-oxygen]]`."
    else:
        mend = did_you_mean(node.text, known, what="It can be")
    scope.notes.add(
        faults.UNKNOWN_STATE,
        node.span,
        f"{quote(part)} (a {info.kind.name}) can't be {quote(node.text)}.",
        mend or "Parts of this kind have no state of their own.",
    )
    return None


def _open_words(entry: Entry, node: Mapping, info: PartInfo | None, scope: Scope, may_be_open: bool) -> tuple[str, ...]:
    if not may_be_open:
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"A baseline says exactly how {quote(entry.key)} is, but here is a group of `key: value`.",
            "Write one word; what may differ belongs into the `starts` of a procedure.",
        )
        return ()
    fields = Fields(node, OPEN_STATE, scope.notes, entry.key_span).check()
    words = [_word(entry.key, item, info, scope) for item in fields.listing("any", empty=False)]
    found = tuple(dict.fromkeys(word for word in words if word is not None))
    if info is not None and info.kind is not None and found:
        variables = {variable_of(info.kind, word) for word in found}
        if len(variables) > 1:
            scope.notes.add(
                faults.STATES_AT_ODDS,
                node.span,
                f"{listed(found)} are not answers to one question about {quote(entry.key)}.",
                "Write a list with one `{any: [...]}` for each thing that may differ.",
            )
    return found


def _joined(entry: Entry, scope: Scope, found: _Found) -> None:
    if not isinstance(entry.value, Listing):
        _not_pairs(entry.value, scope)
        return
    for node in entry.value.items:
        names = (
            [item for item in node.items if isinstance(item, Scalar) and isinstance(item.value, str)]
            if isinstance(node, Listing)
            else []
        )
        if not isinstance(node, Listing) or len(names) != 2 or len(node.items) != 2:
            _not_pairs(node, scope)
            continue
        _pair(names[0], names[1], node.span, scope, found)


def _not_pairs(node: Node, scope: Scope) -> None:
    scope.notes.add(
        faults.WRONG_TYPE,
        node.span,
        f"`joined` takes a list of pairs of ends, but here is {described(node)}.",
        "Write for example `joined: [[drain-end, return-end]]`.",
    )


def _pair(first: Scalar, second: Scalar, span: Span, scope: Scope, found: _Found) -> None:
    infos = []
    for node in (first, second):
        info = scope.known_part(node)
        infos.append(info)
        if info is not None and info.kind is not None and info.kind.family is not Family.END:
            scope.notes.add(
                faults.WRONG_KIND,
                node.span,
                f"Only ends can be joined, but {quote(node.text)} is of the kind {quote(info.kind.name)}.",
                "Name the connectors at the ends of the lines.",
            )
            infos[-1] = None
    one, other = infos
    if first.text == second.text:
        _do_not_fit(second.span, f"{quote(first.text)} can't be joined to itself.", scope)
        return
    if one is not None and other is not None and one.fits and other.fits and one.fits != other.fits:
        text = f"{quote(first.text)} fits {quote(one.fits)}, and {quote(second.text)} fits {quote(other.fits)}."
        _do_not_fit(span, text, scope)
    for node, mate in ((first, second), (second, first)):
        if node.text in found.mates:
            _do_not_fit(node.span, f"{quote(node.text)} is joined to {quote(found.mates[node.text])} already.", scope)
        found.mates[node.text] = mate.text
        found.settings.append(Setting(part=node.text, word=f"joined:{mate.text}", span=span))


def _do_not_fit(span: Span, message: str, scope: Scope) -> None:
    scope.notes.add(faults.ENDS_DO_NOT_FIT, span, message, "Join each end to one other end that fits the same thing.")


def read_starts(entry: Entry, scope: Scope) -> Starts | None:
    """``starts``: a baseline of the rig or the end of a procedure, and what differs from it."""
    node = entry.value
    if not isinstance(node, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"`starts` takes a group of `key: value`, but here is {described(node)}.",
            f"Write `starts: {{from: {node.text}}}`."
            if isinstance(node, Scalar) and node.text in (scope.baselines or ())
            else "Write for example `starts: {from: unpacked, vent: open}`.",
        )
        return None
    baseline = procedure = None
    origin = node.get(FROM)
    if origin is None:
        known = listed(scope.baselines) if scope.baselines else "none yet"
        scope.notes.add(
            faults.MISSING_KEY,
            entry.key_span,
            "`starts` does not say what it starts from.",
            f"Add `from:` with a baseline of the rig ({known}), or `from: {{procedure: ...}}`.",
        )
    elif isinstance(origin.value, Mapping):
        fields = Fields(origin.value, FROM_PROCEDURE, scope.notes, origin.key_span).check()
        target = fields.scalar("procedure")
        procedure = None if target is None else scope.card(target)
    else:
        baseline = _baseline(origin, scope)
    settings, open_settings = read_settings(
        (item for item in node.entries.values() if item.key != FROM), scope, may_be_open=True
    )
    return Starts(baseline=baseline, procedure=procedure, settings=settings, open_settings=open_settings, span=entry.span)


def _baseline(origin: Entry, scope: Scope) -> str | None:
    node = origin.value
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span if not isinstance(node, Scalar) or node.text else origin.key_span,
            f"`from` takes the name of a baseline, but here is {described(node)}.",
            "Write for example `from: unpacked`, or `from: {procedure: prime-adult}`.",
        )
        return None
    if scope.baselines is not None and node.text not in scope.baselines:
        if scope.procedures is not None and node.text in scope.procedures:
            mend = f"To start from the end of that procedure write `from: {{procedure: {node.text}}}`."
        else:
            mend = did_you_mean(node.text, scope.baselines, what="Its baselines are")
            mend = mend or f"It has none; add `baselines: {{{node.text}: {{}}}}` to it."
        rig = f"The rig {quote(scope.rig)}" if scope.rig else "The rig"
        scope.notes.add(faults.UNKNOWN_BASELINE, node.span, f"{rig} has no baseline {quote(node.text)}.", mend)
    return node.text
