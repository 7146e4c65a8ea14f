"""From a procedure to its sheet."""

from dataclasses import replace
from datetime import date

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Stage, Step
from stepwell.publish.build import build_sheet
from stepwell.publish.canonical import content, content_hash
from stepwell.publish.notice import SAFETY_NOTICE
from stepwell.publish.sheet import (
    AnyOrderBlock,
    HoldBar,
    LanesBlock,
    QuestionBlock,
    ReleaseMark,
    StageBlock,
    lines_of,
    spoken,
)
from stepwell.report.results import Orders, ProcedureReport, Status, Verdict
from tests.publish.bench import AS_OF, emergency, procedure, routine, say, workspace


def sheet_of(given, report=None, **more):
    return build_sheet(workspace(given), given, report, AS_OF, **more)


def report(given, *statuses):
    verdicts = tuple(
        Verdict(
            procedure=given.id,
            rule=f"rule-{index}",
            code="SW100",
            title=f"Title {index}",
            sentence="",
            severity=Severity.FATAL,
            status=status,
            orders=Orders(number=1, exact=True),
        )
        for index, status in enumerate(statuses)
    )
    return ProcedureReport(
        procedure=given.id, title=given.title, checked=True, orders=None, states=1, verdicts=verdicts, findings=()
    )


def test_ordered_lines_are_numbered_and_unordered_ones_lettered():
    lines = lines_of(sheet_of(routine()).items)
    assert [line.mark for line in lines if not line.ordered] == ["a", "b", "c"]
    # 9 is the question between the repeat and its answer.
    assert [line.mark for line in lines if line.ordered] == ["1", "2", "3", "4", "5", "6", "7", "8", "10", "11", "12"]


def test_a_reference_to_a_step_is_its_printed_mark():
    line = next(line for line in lines_of(sheet_of(routine()).items) if line.id == "f1aa")
    assert line.if_not is not None
    assert (spoken(line.if_not.text), line.if_not.step) == ("Go to step a.", "k1aa")


def test_a_reference_to_a_card_is_its_title():
    target = replace(routine(), id="air-in-patient", title="Air has reached the patient")
    given = emergency()
    sheet = build_sheet(workspace(given, target), given, None, AS_OF)
    stages = [item for item in sheet.items if isinstance(item, StageBlock)]
    (question,) = [item for stage in stages for item in stage.items if isinstance(item, QuestionBlock)]
    assert spoken(question.outcomes[0].leads) == "Use card “Air has reached the patient”."


def test_boxes_are_actions():
    lines = {line.id: line for line in lines_of(sheet_of(routine()).items)}
    assert [lines[name].boxes for name in ("k1aa", "k2bb", "k3cc")] == [1, 3, 1]


def test_a_step_carries_place_confirm_why_warning_and_time():
    lines = {line.id: line for line in lines_of(sheet_of(routine()).items)}
    fill, shut = lines["f1aa"], lines["f2bb"]
    assert [(p.label, p.place) for p in fill.places] == [("prime clamp", "blue, under the prime bag")]
    assert fill.timed is not None
    assert spoken(fill.takes) == "30 s to 2 min"
    assert shut.confirm is not None
    assert shut.confirm.mark == "A"
    assert [w.signal for w in shut.warnings] == ["WARNING"]


def test_every_block_keeps_its_sort():
    kinds = [type(item) for item in sheet_of(routine()).items]
    assert kinds[:4] == [AnyOrderBlock, StageBlock, HoldBar, LanesBlock]


def test_start_and_end_are_said():
    sheet = sheet_of(routine())
    assert [spoken(text) for text in sheet.starts] == [
        "unpacked",
        "oxygenator vent: open",
        "prime clamp: may be open or shut",
    ]
    assert [spoken(text) for text in sheet.ends] == ["oxygenator vent is shut", "prime clamp is shut"]


def test_the_notice_is_complete_and_the_units_own_is_added():
    given = routine()
    space = workspace(given)
    space = replace(space, unit=replace(space.unit, notice="Ask the lead."))
    assert build_sheet(space, given, None, AS_OF).notice == (*SAFETY_NOTICE, "Ask the lead.")


def test_status_says_why_it_is_a_draft():
    given = routine()
    assert sheet_of(given).status.reasons == ("not released", "order not checked")
    told = sheet_of(given, report(given, Status.HOLDS, Status.NOT_DECIDED, Status.VIOLATED)).status
    assert told.reasons == ("not released", "violated: Title 2", "not decided: Title 1")
    assert told.draft


def test_wording_only_says_that_its_order_is_not_checked():
    step = Step(id="a1aa", who="primer", say=say("Look around."))
    given = procedure((Stage(title="Look", body=(step,)),))
    assert "order not checked (wording only)" in sheet_of(given).status.sentence


def test_no_status_ever_says_safe():
    given = routine()
    release = ReleaseMark(approved=AS_OF, effective=AS_OF)
    for sheet in (
        sheet_of(given, report(given, Status.HOLDS)),
        sheet_of(given, report(given, Status.HOLDS), release=release),
    ):
        assert "safe" not in sheet.status.sentence.lower()


def test_the_hash_is_of_the_content():
    given = routine()
    draft = sheet_of(given)
    release = ReleaseMark(approved=AS_OF, effective=AS_OF)
    later = build_sheet(workspace(given), given, report(given, Status.VIOLATED), date(2027, 1, 1), release=release)
    assert draft.hash == later.hash == content_hash(later)
    assert len(draft.hash) == 64
    assert draft.short_hash.replace(" ", "") == draft.hash[:12]
    assert sheet_of(replace(given, title="Prime it")).hash != draft.hash
    assert sheet_of(replace(given, done_call=say("Done."))).hash != draft.hash


def test_the_canonical_bytes_are_the_same_each_time():
    assert content(sheet_of(routine())) == content(sheet_of(routine()))
