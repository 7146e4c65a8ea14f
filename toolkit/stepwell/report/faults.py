"""Findings that are not rules of the catalogue: what the search of orders itself brings to light."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.severity import Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Name, code, severity and the explanation that ``explain`` prints."""

    name: str
    code: str
    severity: Severity
    summary: str


CANNOT_BE_DONE = Fault(
    name="action-cannot-be-done",
    code="SW201",
    severity=Severity.SERIOUS,
    summary="In some permitted order a person reaches an action that is physically impossible there.",
)
EXPECTATION_NOT_MET = Fault(
    name="expectation-not-met",
    code="SW202",
    severity=Severity.SERIOUS,
    summary="In some permitted order, with nobody making a slip, what a step expects is not surely so. "
    "It is as grave as what would follow if people went on all the same, and at least serious.",
)
HOLD_NOT_MET = Fault(
    name="hold-not-met",
    code="SW203",
    severity=Severity.SERIOUS,
    summary="In some permitted order, with nobody making a slip, what a hold waits for is not surely so. "
    "It is as grave as what would follow if people went on all the same, and at least serious.",
)
ENDS_NOT_REACHED = Fault(
    name="ends-not-reached",
    code="SW204",
    severity=Severity.SERIOUS,
    summary="In some permitted order the card ends in a state that is not surely the one it promises.",
)
ALREADY_SO = Fault(
    name="already-so",
    code="SW205",
    severity=Severity.MINOR,
    summary="In some permitted order an action changes nothing, because the part is in that state already.",
)
CANNOT_FINISH = Fault(
    name="cannot-finish",
    code="SW206",
    severity=Severity.SERIOUS,
    summary="From some state that a permitted order reaches, the end of the card can't be reached any more.",
)
ORDER_NOT_COMPILED = Fault(
    name="order-not-understood",
    code="SW207",
    severity=Severity.SERIOUS,
    summary="The order of steps can't be followed as it is written, such as two steps that wait for each other.",
)
WAIVER_EXPIRED = Fault(
    name="waiver-expired",
    code="SW209",
    severity=Severity.SERIOUS,
    summary="The last day of a waiver is over, so it waives nothing any more.",
)
WAIVER_UNUSED = Fault(
    name="waiver-unused",
    code="SW210",
    severity=Severity.SERIOUS,
    summary="A waiver of something that is not found, so that it would hide what comes later.",
)
POLICY_NOT_RECORDED = Fault(
    name="policy-not-recorded",
    code="SW211",
    severity=Severity.SERIOUS,
    summary="A procedure has an order on which published practice disagrees, and the unit has not recorded its policy.",
)
STARTS_NOT_TOLD = Fault(
    name="starts-not-told",
    code="SW212",
    severity=Severity.SERIOUS,
    summary="A procedure with actions does not say in which state it starts, so it was searched from every part's default.",
)
NOTHING_DONE = Fault(
    name="nothing-done",
    code="SW213",
    severity=Severity.SERIOUS,
    summary="A procedure states how the set is before or after it, but no step says what is done, so nothing was checked.",
)
FAULTS: tuple[Fault, ...] = (
    CANNOT_BE_DONE,
    EXPECTATION_NOT_MET,
    HOLD_NOT_MET,
    ENDS_NOT_REACHED,
    ALREADY_SO,
    CANNOT_FINISH,
    ORDER_NOT_COMPILED,
    WAIVER_EXPIRED,
    WAIVER_UNUSED,
    POLICY_NOT_RECORDED,
    STARTS_NOT_TOLD,
    NOTHING_DONE,
)
