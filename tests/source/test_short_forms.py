"""Short forms of the file language: each gives what its long form gives, in the model, in the verdicts and on the card."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepwell.circuit.catalogue import VERBS
from stepwell.model.procedure import Action, AnyOrder, Procedure, Stage, Step, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.workspace import Workspace
from stepwell.orders.compile import compile_body
from stepwell.publish.build import build_sheet
from stepwell.publish.canonical import Plain, plain_data
from stepwell.report.check import Options, check_procedure
from stepwell.source import read_step
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


def card(workspace: Workspace, procedure: Procedure) -> Plain:
    return plain_data(build_sheet(workspace, procedure, None, AS_OF))


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
    assert str(card(*one)).count("Sensors zeroed") == 2


EACH = """  - for-each: {s: {kind: pressure-sensor, trait: built-in}}
    steps:
      - id: w1aa
        who: assistant
        say: Plug in {s} at {s.tap}.
        do: {plug: s}
        expect: {plugged: s}
        if-not: {step: w2aa}
      - id: w2aa
        who: assistant
        say: Look at {s.site} by {s}.
        expect: {reading: s, at-least: -5 mmHg}
        after: [w1aa]
"""
HERE = "  - stage: Connect the bag\n"
SENSORS = {"drain": "pump-line", "pre": "post-line", "post": "return-line"}


def each_written_out(head: str = "  - ") -> str:
    steps = ""
    for name, site in SENSORS.items():
        for text in EACH.split("      - ")[1:]:
            for old, new in (("w1aa", f"w1aa-{name}-pressure"), ("w2aa", f"w2aa-{name}-pressure")):
                text = text.replace(old, new)
            for old, new in (("{s}", f"{{{name}-pressure}}"), ("{s.tap}", f"{{{name}-tap}}"), ("{s.site}", f"{{{site}}}")):
                text = text.replace(old, new)
            text = text.replace(": s}", f": {name}-pressure}}").replace(": s,", f": {name}-pressure,")
            steps += head + text.replace("\n        ", "\n    ")
    return steps


def test_for_each_is_its_steps_written_out(monkeypatch: pytest.MonkeyPatch) -> None:
    short = good(long_with(((HERE, EACH + HERE),)))
    # An author can't write the ids that are made, so that they can't clash; here the form is let through.
    monkeypatch.setattr(read_step, "_ID", re.compile(r"[a-z][a-z0-9]{3}(-[a-z-]+)?"))
    long = good(long_with(((HERE, each_written_out() + HERE),)))
    one, other = prime(short), prime(long)
    assert replace(one, path="") == replace(other, path="")
    assert compile_body(one.body) == compile_body(other.body)
    assert card(short, one) == card(long, other)


def test_ids_made_by_for_each_do_not_depend_on_the_other_parts() -> None:
    def ids(trait: str) -> list[str]:
        loaded = long_with(((HERE, EACH.replace("trait: built-in", trait) + HERE),))
        return [step.id for step in steps_of(prime(good(loaded)).body) if "-" in step.id]

    every = ids("without: [fluid-line]")
    assert every == ids("trait: built-in")
    assert every[:2] == ["w1aa-drain-pressure", "w2aa-drain-pressure"]
    assert len(set(every)) == len(every) == 6


def test_after_a_step_of_for_each_is_after_all_of_them() -> None:
    last = "  - {id: w3aa, who: primer, say: Look., expect: {see: all plugged}, after: [w1aa]}\n"
    procedure = prime(good(long_with(((HERE, EACH + last + HERE),))))
    steps = {step.id: step for step in steps_of(procedure.body)}
    assert steps["w3aa"].after == tuple(f"w1aa-{name}-pressure" for name in SENSORS)
    assert steps["w2aa-pre-pressure"].after == ("w1aa-pre-pressure",)
    way = steps["w1aa-post-pressure"].if_not
    assert way is not None
    assert way.step == "w2aa-post-pressure"


def test_going_on_at_a_step_of_for_each_must_say_which() -> None:
    last = "  - {id: w3aa, who: primer, say: Look., expect: {open: oxy-vent}, if-not: {step: w1aa}}\n"
    (finding,) = long_with(((HERE, EACH + last + HERE),)).findings
    assert finding.rule == "unknown-step"
    assert "several steps" in finding.message
    assert "`w1aa-drain-pressure`" in finding.mend
    named = last.replace("step: w1aa", "step: w1aa-pre-pressure")
    good(long_with(((HERE, EACH + named + HERE),)))


def test_in_any_order_each_part_keeps_its_own_sequence() -> None:
    def group(inside: str) -> AnyOrder:
        text = "  - any-order: Sensors\n    steps:\n    " + inside.replace("\n", "\n    ").rstrip(" ")
        body = prime(good(long_with(((HERE, text + HERE),)))).body
        return next(item for item in body if isinstance(item, AnyOrder) and item.title == "Sensors")

    assert [type(item) for item in group(EACH).body] == [Stage] * 3
    titles = [item.title for item in group(EACH).body if isinstance(item, Stage)]
    assert titles == ["sensor P1", "sensor P2", "sensor P3"]
    single = "  - for-each: {s: {kind: cap}}\n    steps: [{id: w1aa, who: primer, say: 'Look at {s}.'}]\n"
    assert [type(item) for item in group(single).body] == [Step] * 3


IF = """  - if-rig: %s
    steps: [{id: w1aa, who: primer, %s}]
    otherwise: [{id: w2aa, who: primer, %s}]
  - {id: w3aa, who: primer, say: Go on., after: [w1aa, w2aa]}
"""
FITS = 'say: "Look at {oxy-vent}."'
ELSEWHERE = 'say: "Open {no-such-part}.", do: {open: [no-such-part, {all: clamps, on: no-such-line}]}'


@pytest.mark.parametrize(
    ("asked", "so"),
    [
        ("{kind: vent}", True),
        ("{kind: artery}", False),
        ("{kind: pressure-sensor, trait: built-in}", True),
        ("{kind: pressure-sensor, trait: fluid-line}", False),
        ("{trait: fluid-line}", False),
        ("{part: oxy-vent}", True),
        ("{not: {kind: artery}}", True),
        ("{not: {part: oxy-vent}}", False),
        ("{all: [{kind: vent}, {not: {kind: artery}}]}", True),
        ("{all: [{kind: vent}, {kind: artery}]}", False),
        ("{any: [{kind: artery}, {kind: vent}]}", True),
    ],
)
def test_if_rig_takes_the_one_or_the_other(asked: str, so: bool) -> None:
    said = (FITS, ELSEWHERE) if so else (ELSEWHERE, FITS)
    procedure = prime(good(long_with(((HERE, IF % (asked, *said) + HERE),))))
    there = {step.id for step in steps_of(procedure.body)} & {"w1aa", "w2aa"}
    assert there == ({"w1aa"} if so else {"w2aa"})
    last = next(step for step in steps_of(procedure.body) if step.id == "w3aa")
    assert last.after == tuple(there)


def test_if_rig_gives_what_its_steps_give() -> None:
    step = '{id: w1aa, who: primer, say: "Open {oxy-vent}.", do: {ensure-open: oxy-vent}}'
    short = good(long_with(((HERE, f"  - if-rig: {{kind: vent}}\n    steps:\n      - {step}\n{HERE}"),)))
    long = good(long_with(((HERE, f"  - {step}\n{HERE}"),)))
    assert replace(prime(short), path="") == replace(prime(long), path="")
    assert card(short, prime(short)) == card(long, prime(long))


def test_a_for_each_of_too_much_is_refused() -> None:
    many = "".join(f"      - {{id: w{n:03}, who: primer, say: 'Look at {{s}}.'}}\n" for n in range(900))
    (finding,) = long_with(((HERE, "  - for-each: {s: {without: [roaming]}}\n    steps:\n" + many + HERE),)).findings
    assert finding.rule == "out-of-range"
    assert "too many steps" in finding.message


ITEM_KEYS = ("for-each", "if-rig", "steps", "otherwise", "id", "who", "say", "do", "s", "kind", "part", "not", "all", "meet")
ITEM_WORDS = ("k1aa", "primer", "{s} {s.tap}", "s", "s.site", "s.x", "clamp", "vent", "pressure-sensor", "true", "~")
ITEMS = st.recursive(
    st.sampled_from(ITEM_WORDS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(ITEM_KEYS), inner, max_size=4),
    max_leaves=12,
)


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(over=ITEMS, steps=ITEMS, word=st.sampled_from(("for-each", "if-rig")))
def test_no_item_that_is_put_in_ever_raises(
    tmp_path_factory: pytest.TempPathFactory, over: object, steps: object, word: str
) -> None:
    data = (GOOD / PLACES["procedures"]).read_bytes()
    item = f"body:\n  - {word}: {flow(over)}\n    steps: {flow(steps)}\n".replace("{s}", "<s>").replace("{s.tap}", "<t>")
    changed = data.replace(b"body:\n", item.replace("<s> <t>", '"{s} {s.tap}"').encode())
    loaded = with_file(tmp_path_factory.mktemp("any"), "procedures", changed)[1]
    assert all(finding.span and finding.message and finding.mend for finding in loaded.findings), told(loaded.findings)


def test_what_can_be_opened_can_be_ensured_open() -> None:
    verbs = {verb.name: verb for verb in VERBS}
    for short, long in (("ensure-open", "open"), ("ensure-shut", "shut")):
        assert LIKE_A_VERB[short].pairs == verbs[long].pairs
        assert LIKE_A_VERB[short].words == verbs[long].words
