"""Predicates and expectations in English."""

from stepwell.model.predicate import AllOf, AnyOf, Not, Quantified, Selector
from stepwell.model.procedure import Condition, Reading
from stepwell.publish.sheet import FigureRun, LabelRun, TextRun, spoken
from stepwell.publish.words import Names, expect_lines, resolve, sentence
from tests.publish.bench import PARTS, fact, quantity, say

NAMES = Names(labels={part.id: part.label for part in PARTS}, figures={"fill-speed": "2800 rpm"})


def words(predicate, **more):
    return spoken(sentence(predicate, NAMES, **more))


def test_labels_and_numbers_are_runs_of_their_own():
    assert resolve(say("Run {pump} at {fill-speed}."), NAMES) == (
        TextRun("Run "),
        LabelRun("pump", "pump"),
        TextRun(" at "),
        FigureRun("2800 rpm", "fill-speed"),
        TextRun("."),
    )


def test_an_unknown_id_is_kept():
    assert spoken(resolve(say("Set {nobody-knows}."), NAMES)) == "Set nobody-knows."


def test_a_fact_and_its_contrary_use_the_vocabulary():
    assert words(fact("open", "vent")) == "oxygenator vent is open"
    assert words(Not(fact("open", "vent"))) == "oxygenator vent is shut"
    assert words(Not(Not(fact("open", "vent")))) == "oxygenator vent is open"


def test_the_contrary_of_and_is_or():
    both = AllOf((fact("shut", "vent"), fact("shut", "prime-clamp")))
    assert words(both) == "oxygenator vent is shut and prime clamp is shut"
    assert words(Not(both)) == "oxygenator vent is open or prime clamp is open"
    assert words(AnyOf((fact("shut", "vent"), fact("running", "pump"), fact("hung", "prime-bag")))) == (
        "oxygenator vent is shut, pump is running or prime bag hangs on its hook"
    )


def test_a_quantifier_and_its_contrary():
    every = Quantified(True, "s", Selector(kind="pressure-sensor"), fact("plugged", "s"))
    assert words(every) == "of every pressure sensor: it is plugged in"
    assert words(Not(every)) == "of at least one pressure sensor: it is not plugged in"


def test_a_fact_outside_the_vocabulary_is_still_said():
    assert words(fact("blessed", "vent")) == "blessed: oxygenator vent"


def test_the_value_leaves_out_the_only_part_that_is_named():
    (line,) = expect_lines(Condition(predicate=fact("shut", "vent")), NAMES, frozenset({"vent"}))
    assert (spoken(line.text), spoken(line.value)) == ("oxygenator vent is shut", "shut")


def test_the_value_says_which_part_where_two_are_named():
    (line,) = expect_lines(Condition(predicate=fact("shut", "vent")), NAMES, frozenset({"vent", "prime-clamp"}))
    assert spoken(line.value) == "oxygenator vent is shut"


def test_each_conjunct_is_a_line():
    both = Condition(predicate=AllOf((fact("shut", "vent"), fact("filled", "oxygenator"))))
    assert [spoken(line.text) for line in expect_lines(both, NAMES)] == ["oxygenator vent is shut", "oxygenator is filled"]


def test_a_reading_has_its_range_and_a_real_minus():
    reading = Reading(part="drain-pressure", at_least=quantity("-5", "mmHg"), at_most=quantity("5", "mmHg"))
    (line,) = expect_lines(reading, NAMES, frozenset({"drain-pressure"}))
    assert spoken(line.value) == "−5 to 5 mmHg"
    assert spoken(line.text) == "drain pressure sensor reads −5 to 5 mmHg"
    assert isinstance(line.value[0], FigureRun)
