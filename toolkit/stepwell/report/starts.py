"""The states that a procedure may start from."""

from __future__ import annotations

from itertools import product

from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.circuit.settle import settle
from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure
from stepwell.model.rig import Rig, Setting
from stepwell.report.faults import NOTHING_DONE, STARTS_NOT_TOLD

MOST_STARTS = 4096


class UnknownStartError(ValueError):
    """Where a procedure starts can't be told, so nothing about it can be decided; the message says why."""


def start_states(layout: Layout, procedure: Procedure, handed_over: tuple[State, ...] = ()) -> tuple[State, ...]:
    """Every combination of what ``starts`` leaves open, settled. A procedure without ``starts`` starts at the defaults.

    ``handed_over``: the end states of the procedure that this one starts from, where it names one. Raises UnknownStartError.
    """
    starts = procedure.starts
    if starts is None:
        return (settle(layout, layout.defaults).state,)
    bases = handed_over or tuple(baseline_state(layout, b) for b in layout.rig.baselines if b.name == starts.baseline)
    if not bases:
        raise UnknownStartError(f"there is no state called {starts.baseline or starts.procedure} to start from")
    ways = [tuple(Setting(part=part, word=word) for word in words) for part, words in starts.open_settings]
    found: dict[State, None] = {}
    for base, choice in product(bases, tuple(product(*ways))):
        state = apply_settings(layout, apply_settings(layout, base, starts.settings), choice)
        found.setdefault(settle(layout, state).state)
        if len(found) > MOST_STARTS:
            raise UnknownStartError(f"more than {MOST_STARTS} starts are left open")
    return tuple(found)


def starts_not_told(procedure: Procedure, rig: Rig) -> tuple[Finding, ...]:
    """A finding where a procedure with actions leaves out its ``starts``: every verdict then rests on what nobody wrote."""
    if procedure.starts is not None:
        return ()
    base = rig.baselines[0].name if rig.baselines else "unpacked"
    return (
        Finding(
            rule=STARTS_NOT_TOLD.name,
            code=STARTS_NOT_TOLD.code,
            severity=STARTS_NOT_TOLD.severity,
            message="The procedure does not say in which state it starts; every part was taken to be at its default.",
            mend=f"Add for example `starts: {{from: {base}}}`, with a baseline of {rig.id} and what differs from it.",
            span=procedure.span,
            procedure=procedure.id,
        ),
    )


def nothing_done(procedure: Procedure) -> tuple[Finding, ...]:
    """A finding where a procedure without any action states its ``starts`` or ``ends``, as one does that lost its last.

    A text that was never given actions states neither, and is marked as not checked wherever it stands.
    """
    if procedure.starts is None and not procedure.ends:
        return ()
    return (
        Finding(
            rule=NOTHING_DONE.name,
            code=NOTHING_DONE.code,
            severity=NOTHING_DONE.severity,
            message="No step says what is done (`do`), so neither the order nor what the card promises was checked.",
            mend="Put back the actions of its steps, or leave out `starts` and `ends` until the card has some.",
            span=procedure.ends_span or procedure.span,
            procedure=procedure.id,
        ),
    )
