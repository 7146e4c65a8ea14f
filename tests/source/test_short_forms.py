"""Short forms of the file language: each gives what its long form gives, in the model, in the verdicts and on the card."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepwell.circuit.catalogue import VERBS
from stepwell.model.procedure import Action, Procedure, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.workspace import Workspace
from stepwell.orders.compile import compile_body
from stepwell.publish.build import build_sheet
from stepwell.publish.canonical import canonical_json
from stepwell.report.check import Options, check_procedure
from stepwell.source.read_selection import plurals
from stepwell.source.short_forms import LIKE_A_VERB, SHORT_FORMS
from stepwell.source.vocabulary import built_in
from stepwell.source.workspace import Loaded
from tests.source.bench import GOOD, PLACES, copied, load, told, with_file
from tests.source.made import PRIMING, SET, long_with

AS_OF = date(2026, 11, 1)


@cache
def as_written() -> Workspace:
    return good(long_with(()))


def good(loaded: Loaded) -> Workspace:
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    return loaded.workspace


def prime(workspace: Workspace) -> Procedure:
    return next(found for found in workspace.procedures if found.id == PRIMING)


def card(workspace: Workspace, procedure: Procedure) -> bytes:
    return canonical_json(build_sheet(workspace, procedure, None, AS_OF))


CASES = {
    "all-of-a-kind": (
        "do: {plug: [drain-pressure, pre-pressure, post-pressure]}",
        "do: {plug: {all: pressure-sensors}}",
    ),
    "all-with-a-trait": (
        "do: {zero: [drain-pressure, pre-pressure, post-pressure]}",
        "do: {zero: {all: pressure-sensor, trait: built-in}}",
    ),
    "all-without-a-trait": (
        "do: {shut: [prime-clamp, recirc-clamp]}\n        expect",
        "do: {shut: {all: clamps, without: on-main-path}}\n        expect",
    ),
    "all-on-lines": (
        "do: {open: [return-clamp, drain-clamp]}",
        "do: {open: [{all: clamps, on: return-limb}, {all: clamps, on: [drain-limb]}]}",
    ),
    "sites": (
        "do: {shut: [return-clamp, drain-clamp]}",
        "do: {shut: [{before: flow-sensor}, {after: flow-sensor}]}",
    ),
    "bleed": (
        'do: [{uncap: pre-cap}, {turn: pre-tap, to: all}, {wait: bleed-time}, {turn: pre-tap, to: "off"}, {cap: pre-cap}]',
        "do: {bleed: pre-tap, for: bleed-time}",
    ),
    "circulate": (
        "do: [{run: pump, at: 2800 rpm, for: 90 s}, {stop: pump, for: 10 s}, {run: pump, at: second-speed, for: 1 min}]",
        "do: {circulate: [{rpm: 2800, for: 90 s}, {stop: 10 s}, {rpm: second-speed, for: 1 min}]}",
    ),
    "ensure": (
        "do: [{shut: prime-clamp, ensure: true}, {open: oxy-vent, ensure: true}]",
        "do: [{ensure-shut: prime-clamp}, {ensure-open: oxy-vent}]",
    ),
    "at-once": (
        "do: {together: [{shut: return-clamp}, {shut: drain-clamp}]}",
        "at-once: [{shut: return-clamp}, {shut: drain-clamp}]",
    ),
}
SAID = {
    "bleed": ("Take {pre-cap} off, turn {pre-tap} to all ways, wait {bleed-time}.", "Bleed {pre-tap} for {bleed-time}."),
    "circulate": ("Run {pump} at {first-speed} for {first-spell}.", "Circulate with {pump}, 90 s, stop 10 s, 1 min."),
    "ensure": ("Uncover {oxy-vent}.", "Make sure {prime-clamp} is shut and {oxy-vent} is open."),
}
"""Where the long form does not stand there: whose step it takes the place of, and what is said then."""


def changes(case: str, do: str) -> tuple[tuple[str, str], ...]:
    long = CASES[case][0]
    if case == "at-once":
        return (("do: {shut: [return-clamp, drain-clamp]}", do),)
    if case not in SAID:
        return ((long, do),)
    before, after = SAID[case]
    olds = {
        "bleed": "do: [{uncap: pre-cap}, {turn: pre-tap, to: all, for: bleed-time}]",
        "circulate": "do: {run: pump, at: first-speed, for: first-spell}",
        "ensure": "do: {open: oxy-vent}",
    }
    more: tuple[tuple[str, str], ...] = ()
    if case == "bleed":
        more = (
            ("Turn {pre-tap} off and put {pre-cap} on.", "Look at {pre-cap}."),
            ('do: [{turn: pre-tap, to: "off"}, {cap: pre-cap}]', "expect: {see: a dry cap}"),
        )
    return ((before, after), (olds[case], do), *more)


@pytest.mark.parametrize("case", CASES)
def test_the_short_form_is_the_long_form(case: str) -> None:
    long, short = (good(long_with(changes(case, do))) for do in CASES[case])
    one, other = prime(long), prime(short)
    assert replace(one, path="") == replace(other, path="")
    assert compile_body(one.body) == compile_body(other.body)
    assert card(long, one) == card(short, other)
    if case in SAID:
        assert prime(as_written()) != other
    reports = [
        check_procedure(where, what, clock=time.monotonic, options=Options(bites=False))
        for where, what in ((long, one), (short, other))
    ]
    verdicts = [[(v.rule, v.status, v.orders) for v in report.verdicts] for report in reports]
    assert verdicts[0] == verdicts[1]
    assert len(verdicts[0]) > 10
    assert reports[0].orders == reports[1].orders
    # The words fit the short form, too; the long form of it says more than its actions are called.
    assert not [f for f in reports[1].findings if f.rule == "words-and-actions-disagree"], told(reports[1].findings)
    assert all(action.span is not None for step in steps_of(other.body) for action in step.do)


def test_make_sure_says_nothing_where_it_is_so_already() -> None:
    first = (("Uncover {oxy-vent}.", "Uncover {oxy-vent}, shut {prime-clamp}."),)
    first += (("do: {open: oxy-vent}", "do: [{open: oxy-vent}, {shut: prime-clamp}]"),)
    before = "Shut {prime-clamp} and {recirc-clamp}.\n            do: "

    def already(do: str) -> list[str]:
        workspace = good(long_with((*first, (f"{before}{{shut: [prime-clamp, recirc-clamp]}}", f"{before}{do}"))))
        report = check_procedure(workspace, prime(workspace), clock=time.monotonic, options=Options(bites=False))
        return [f.message for f in report.findings if f.rule == "already-so" and f.step == "d2mq"]

    assert len(already("{shut: [prime-clamp, recirc-clamp]}")) == 1
    assert already("{ensure-shut: [prime-clamp, recirc-clamp]}") == []


def test_rules_see_an_ensured_action_as_the_action() -> None:
    procedure = prime(good(long_with(changes("ensure", CASES["ensure"][1]))))
    step = next(step for step in steps_of(procedure.body) if step.id == "c8kd")
    assert [(action.verb, action.parts) for action in step.do] == [("shut", ("prime-clamp",)), ("open", ("oxy-vent",))]


def test_a_choice_is_in_the_order_of_the_rig() -> None:
    procedure = prime(good(long_with((("do: {shut: [return-clamp, drain-clamp]}", "do: {shut: {all: clamps}}"),))))
    step = next(step for step in steps_of(procedure.body) if step.id == "c3jy")
    rig = next(rig for rig in as_written().rigs if rig.id == SET)
    assert [action.parts[0] for action in step.do] == [part.id for part in rig.parts if part.kind == "clamp"]


def test_every_kind_has_a_word_for_several() -> None:
    kinds = [kind.name for kind in built_in().part_kinds]
    words = [word for kind in kinds for word in plurals(kind)]
    assert len(set(words)) == 2 * len(kinds)
    assert plurals("artery") == ("artery", "arteries")


def test_no_short_form_hides_a_verb() -> None:
    names = {form.name for form in SHORT_FORMS}
    assert not names & {verb.name for verb in VERBS}
    assert set(LIKE_A_VERB) <= names
    assert len(names) == len(SHORT_FORMS)


RIG_TAIL = "  - [prime-line, pre-tap, pre-cap, air]\n"


def bled(tmp_path: Path, *chains: str, more: str = "", do: str = "{bleed: pre-tap, for: 20 s}") -> Loaded:
    root = copied(tmp_path)
    rig, procedure = root / "rigs/bench.yaml", root / "procedures/fill-set.yaml"
    text = rig.read_text().replace(RIG_TAIL, "".join(f"  - {chain}\n" for chain in chains))
    rig.write_text(text.replace("chains:\n", more + "chains:\n"))
    procedure.write_text(procedure.read_text().replace("{open: prime-clamp}\n        expect", f"{do}\n        expect"))
    return load(root)


STUB = "  clip: {kind: clamp, label: clip}\n  pigtail: {kind: stub, label: pigtail}\n"


def actions(loaded: Loaded) -> list[Action]:
    return [replace(action, span=None) for action in steps_of(good(loaded).procedures[0].body)[0].do]


@pytest.mark.parametrize(
    "chains",
    [
        ("[prime-line, clip, pigtail, pre-cap, air]", "[prime-line, pre-tap]"),
        ("[prime-line, clip, pigtail]", "[pigtail, pre-cap, air]", "[prime-line, pre-tap]"),
        ("[air, pre-cap, pigtail, clip, prime-line]", "[prime-line, pre-tap]"),
    ],
)
def test_a_stub_is_bled_through_its_clip_and_cap(tmp_path: Path, chains: tuple[str, ...]) -> None:
    found = actions(bled(tmp_path, *chains, more=STUB, do="{bleed: pigtail, for: 20 s}"))
    assert [(action.verb, *action.parts) for action in found] == [
        ("uncap", "pre-cap"),
        ("open", "clip"),
        ("wait",),
        ("shut", "clip"),
        ("cap", "pre-cap"),
    ]
    assert isinstance(found[2].option("for"), Quantity)


def test_gates_open_from_the_cap_inwards_and_shut_outwards(tmp_path: Path) -> None:
    loaded = bled(
        tmp_path, "[prime-line, clip, pigtail, pre-tap, pre-cap, air]", more=STUB, do="{bleed: pigtail, for: 20 s}"
    )
    assert [(a.verb, *a.parts, a.option("to")) for a in actions(loaded)] == [
        ("uncap", "pre-cap", None),
        ("turn", "pre-tap", "all"),
        ("open", "clip", None),
        ("wait", None),
        ("shut", "clip", None),
        ("turn", "pre-tap", "off"),
        ("cap", "pre-cap", None),
    ]


@pytest.mark.parametrize(
    ("chains", "more", "words"),
    [
        (("[prime-line, pre-tap, air]", "[return-line, pre-cap, air]"), "", "No chain leads from `pre-tap` through a cap"),
        (
            ("[prime-line, pre-tap, pre-cap, air]", "[pre-tap, other-cap, air]"),
            "  other-cap: {kind: cap, label: other cap}\n",
            "more than one cap",
        ),
    ],
)
def test_a_branch_without_its_one_cap_is_not_guessed(tmp_path: Path, chains: tuple[str, ...], more: str, words: str) -> None:
    (finding,) = bled(tmp_path, *chains, more=more).findings
    assert finding.rule == "no-cap-on-branch"
    assert words in finding.message
    assert finding.span is not None
    assert (finding.span.line, finding.span.column) == (16, 14)


def test_which_drive_circulates_is_not_guessed(tmp_path: Path) -> None:
    spare = "  spare: {kind: drive, label: spare drive, head: pump-head}\n"
    chain = RIG_TAIL[4:-1]
    (finding,) = bled(tmp_path / "one", chain, more=spare, do="{circulate: [{rpm: 2800, for: 90 s}]}").findings
    assert finding.rule == "which-drive"
    assert "several drives (`pump` and `spare`)" in finding.message
    assert "drive: pump" in finding.mend
    named = bled(tmp_path / "two", chain, more=spare, do="{circulate: [{rpm: 2800, for: 90 s}], drive: pump}")
    assert [(action.verb, action.parts) for action in actions(named)] == [("run", ("pump",))]


def test_short_forms_are_not_written_out_without_end(tmp_path: Path) -> None:
    many = ", ".join(["{all: clamps}"] * 2100)
    (finding,) = bled(tmp_path, RIG_TAIL[4:-1], do=f"{{open: [{many}]}}").findings
    assert finding.rule == "out-of-range"
    assert "2000 actions" in finding.message


KEYS = ("shut", "open", "bleed", "circulate", "ensure-open", "all", "on", "trait", "before", "after", "for", "stop", "rpm")
WORDS = (
    "clamps",
    "taps",
    "pre-tap",
    "pre-cap",
    "prime-line",
    "pump",
    "20 s",
    "2800",
    "air",
    "true",
    "~",
    "",
    "drain-pressure",
)
ANY = st.recursive(
    st.sampled_from(WORDS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=3),
    max_leaves=8,
)


def flow(value: object) -> str:
    match value:
        case dict():
            return "{" + ", ".join(f"{key}: {flow(inner)}" for key, inner in value.items()) + "}"
        case list():
            return "[" + ", ".join(map(flow, value)) + "]"
    return str(value)


@settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(value=ANY, key=st.sampled_from(("do", "at-once")))
def test_nothing_that_is_put_in_ever_raises(tmp_path_factory: pytest.TempPathFactory, value: object, key: str) -> None:
    data = (GOOD / PLACES["procedures"]).read_bytes()
    changed = data.replace(b"do: {open: prime-clamp}", f"{key}: {flow(value)}".encode())
    loaded = with_file(tmp_path_factory.mktemp("any"), "procedures", changed)[1]
    assert all(finding.span and finding.message and finding.mend for finding in loaded.findings), told(loaded.findings)


FIRST_LANES = "Shut {prime-clamp} and {recirc-clamp}.\n            do: {shut: [prime-clamp, recirc-clamp]}"
WATER = "Run {water} through the oxygenator.\n            do: {run-water: water}"
MEET = "- meet: Sensors zeroed\n          - id: {}\n"


def test_a_meeting_is_the_after_that_says_the_same() -> None:
    """Two people meet between zeroing and the water test; on the card a meeting is a line, an `after` is a note."""
    meeting = long_with(tuple((f"- id: {name}\n", MEET.format(name)) for name in ("d2mq", "g9xc")))
    after = long_with(
        (
            (FIRST_LANES, f"{FIRST_LANES}\n            after: [e7hn, f3rv]"),
            (WATER, f"{WATER}\n            after: [b4tw, c8kd]"),
        )
    )
    one, other = ((good(loaded), prime(good(loaded))) for loaded in (meeting, after))
    reports = [check_procedure(*pair, clock=time.monotonic, options=Options(bites=False)) for pair in (one, other)]
    assert reports[0].orders == reports[1].orders
    assert (
        reports[0].orders
        != check_procedure(as_written(), prime(as_written()), clock=time.monotonic, options=Options(bites=False)).orders
    )
    verdicts = [[(v.rule, v.status) for v in report.verdicts] for report in reports]
    assert verdicts[0] == verdicts[1]
    assert card(*one).count(b"Sensors zeroed") == 2
