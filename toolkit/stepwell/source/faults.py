"""Every fault that reading a file can find: its readable name, its stable code, and what it means.

Neither a name nor a code is ever used again for another fault. Codes of the loader are SW001 to SW099.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.severity import Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One way in which a file can be wrong. ``unusable``: what was meant can't be known, so nothing is checked."""

    name: str
    code: str
    summary: str
    severity: Severity = Severity.SERIOUS
    unusable: bool = True


def _fault(code: int, name: str, summary: str) -> Fault:
    return Fault(name=name, code=f"SW{code:03d}", summary=summary)


# The file as bytes and as YAML.
UNREADABLE_FILE = _fault(1, "unreadable-file", "The file can't be opened, or it is not an ordinary file.")
NOT_UTF8 = _fault(2, "not-utf-8", "The file is not saved as UTF-8.")
FORBIDDEN_CHARACTER = _fault(
    3, "forbidden-character", "A character that can't be seen, or that changes how its neighbours are shown."
)
FILE_TOO_LARGE = _fault(4, "file-too-large", "The file is larger than 1 MiB.")
NESTED_TOO_DEEP = _fault(5, "nested-too-deep", "Things stand inside each other more than 40 deep.")
TOO_MANY_VALUES = _fault(6, "too-many-values", "The file holds more than 50,000 keys and values.")
TAB_CHARACTER = _fault(7, "tab-character", "A tab; its width depends on the editor, so YAML does not indent with it.")
YAML_SYNTAX = _fault(8, "yaml-syntax", "The file is not YAML: a quote, a bracket, a colon or an indentation is wrong.")
SEVERAL_DOCUMENTS = _fault(9, "several-documents", "More than one document in a file.")
ALIAS_OR_ANCHOR = _fault(10, "alias-or-anchor", "`&name` or `*name`: a value that stands in two places.")
MERGE_KEY = _fault(11, "merge-key", "`<<`: keys copied from elsewhere.")
EXPLICIT_TAG = _fault(12, "explicit-tag", "`!word`: a type given by hand.")
DUPLICATE_KEY = _fault(13, "duplicate-key", "The same key twice in one place; one of them would be lost.")
KEY_NOT_TEXT = _fault(14, "key-not-text", "A key that is a list, a group of keys or empty.")
EMPTY_FILE = _fault(15, "empty-file", "Nothing in the file but comments or white space.")
TEXT_CUT_BY_HASH = _fault(16, "text-cut-by-hash", "`#` after a space starts a comment, so the text ends before it.")
LEAVES_WORKSPACE = _fault(17, "leaves-workspace", "A link or path that leads out of the unit's folder.")
UNIT_FILE_MISSING = _fault(18, "unit-file-missing", "The folder has no unit.yaml.")
WRONG_FOLDER = _fault(19, "wrong-folder", "The file does not belong in the folder it lies in, so it would not be read.")

# Keys and values.
UNKNOWN_KEY = _fault(20, "unknown-key", "A key that has no meaning here.")
MISSING_KEY = _fault(21, "missing-key", "A key that must be there is not.")
WRONG_TYPE = _fault(22, "wrong-type", "A value of another sort than the key takes.")
UNKNOWN_WORD = _fault(23, "unknown-word", "A word that is not one of the few that the key takes.")
EMPTY_VALUE = _fault(24, "empty-value", "A text, list or group with nothing in it.")
VERSION_NOT_TEXT = _fault(25, "version-not-text", "A version without quotes: 3.10 would become 3.1.")
MALFORMED_ID = _fault(26, "malformed-id", "An id that is not written as ids are.")
POSITIONAL_ID = _fault(27, "positional-id", "Step ids that count; they would have to change when a step is put in between.")
DUPLICATE_ID = _fault(28, "duplicate-id", "One id for two things in a procedure.")
DUPLICATE_NAME = _fault(29, "duplicate-name", "One name for two things.")
UNCLEAR_ITEM = _fault(
    30,
    "unclear-item",
    "An item of the body that is no step and none of the groups, such as stage, lanes or hold.",
)
MIXED_ITEM = _fault(31, "mixed-item", "An item, action or condition that is two at once.")
OUT_OF_RANGE = _fault(32, "out-of-range", "A number that is too small or too large.")
MALFORMED_DATE = _fault(33, "malformed-date", "A date that is not written as year-month-day.")
TEXT_CUT_BY_COMMA = _fault(34, "text-cut-by-comma", "A comma inside braces or brackets ends a text before its time.")

# What names lead to.
UNKNOWN_PART = _fault(40, "unknown-part", "The rig has no such part.")
UNKNOWN_ROLE = _fault(41, "unknown-role", "The unit has no such role.")
ROLE_NOT_LISTED = _fault(42, "role-not-listed", "A role that the procedure's people do not list.")
UNKNOWN_NUMBER = _fault(43, "unknown-number", "The unit sets no such number.")
UNKNOWN_BASELINE = _fault(44, "unknown-baseline", "The rig has no such baseline.")
UNKNOWN_RIG = _fault(45, "unknown-rig", "There is no such rig.")
UNKNOWN_PROCEDURE = _fault(46, "unknown-procedure", "There is no such procedure or card.")
UNKNOWN_STEP = _fault(47, "unknown-step", "The procedure has no such step.")
UNKNOWN_VERB = _fault(48, "unknown-verb", "An action that the tool does not know.")
UNKNOWN_FACT = _fault(49, "unknown-fact", "A fact that the tool does not know.")
UNKNOWN_KIND = _fault(50, "unknown-kind", "A kind of part that the tool does not know.")
UNKNOWN_TRAIT = _fault(51, "unknown-trait", "A trait that the kind of part does not have.")
UNKNOWN_STATE = _fault(52, "unknown-state", "A state that the kind of part does not have.")
UNKNOWN_NAME_IN_TEXT = _fault(53, "unknown-name-in-text", "`{name}` in a text is neither a part nor a number.")
BRACE_IN_TEXT = _fault(54, "brace-in-text", "A brace in a text that does not open and close a name.")
UNKNOWN_VARIABLE = _fault(55, "unknown-variable", "A letter in a rule that no `for-every` binds.")

# What can't be.
WRONG_KIND = _fault(60, "wrong-kind", "A part of a kind that the verb, fact or reference is not for.")
WRONG_NUMBER_OF_PARTS = _fault(61, "wrong-number-of-parts", "A verb or fact with too few or too many parts.")
OPTION_MISSING = _fault(62, "option-missing", "An action without an option that it needs.")
NOT_A_QUANTITY = _fault(63, "not-a-quantity", "Not a number with a unit that the tool knows.")
WRONG_DIMENSION = _fault(64, "wrong-dimension", "A quantity of another sort than is needed, such as a length for a time.")
RANGE_REVERSED = _fault(65, "range-reversed", "The smaller end of a range is larger than the other.")
NOBODY_CAN_TELL = _fault(66, "nobody-can-tell", "An expectation that nobody can observe.")
PASSING_FACT = _fault(67, "passing-fact", "A fact about a moment of change where a lasting state is asked for.")
AFTER_IN_A_CIRCLE = _fault(68, "after-in-a-circle", "Steps that each wait for the other.")
STATES_AT_ODDS = _fault(69, "states-at-odds", "Two states for one part that can't both be.")
CONFIRMED_BY_SAME = _fault(70, "confirmed-by-same", "A step that is confirmed by the role that does it.")
ENDS_DO_NOT_FIT = _fault(71, "ends-do-not-fit", "Two ends are joined that do not fit or are joined already.")
TOGETHER_IN_LIST = _fault(72, "together-in-list", "`together` inside a list of actions.")
EMPTY_SELECTION = _fault(73, "empty-selection", "A choice of parts, such as `all: clamps`, that the rig has none of.")
NO_CAP_ON_BRANCH = _fault(74, "no-cap-on-branch", "A bleed of a side branch that has no cap to be taken off, or several.")
NO_SUCH_SITE = _fault(75, "no-such-site", "`before` or `after` a part where the rig has nothing that the verb is for.")
WHICH_DRIVE = _fault(76, "which-drive", "`circulate` on a rig that has no drive, or several that it could mean.")
MEETING_ALONE = _fault(77, "meeting-alone", "A meeting that only one lane names, or where no other lane can come to it.")
MEETINGS_CROSS = _fault(78, "meetings-cross", "Meetings that wait for each other, so that everybody would wait for ever.")

# Chains of a rig.
GATES_SIDE_BY_SIDE = _fault(80, "gates-side-by-side", "Two gates next to each other in a chain, with no space between.")
GATE_AT_CHAIN_END = _fault(81, "gate-at-chain-end", "A chain that ends in a gate: nothing is on its other side.")
NOT_IN_FLUID_PATH = _fault(82, "not-in-fluid-path", "Equipment in a chain; it holds no fluid.")
PART_IN_NO_CHAIN = _fault(83, "part-in-no-chain", "A space, gate or end that no chain names.")
CHAIN_TOO_SHORT = _fault(84, "chain-too-short", "A chain of fewer than two parts, or one that joins nothing.")
END_INSIDE_CHAIN = _fault(85, "end-inside-chain", "A connector or the open air in the middle of a chain, or beside a gate.")
PART_TWICE = _fault(86, "part-twice", "A gate or end that stands in two places.")
PUMP_NOT_THROUGH = _fault(87, "pump-not-through", "A pump head without a part before it and a part after it.")

# A rule.
NO_SHAPE = _fault(90, "no-shape", "A rule that does not say what it forbids, or says two things.")
RESERVED_CODE = _fault(91, "reserved-code", "A code that belongs to the built-in rules or to the loader.")

UNKNOWN_RULE = _fault(92, "unknown-rule", "A waiver of a rule that does not exist.")
CORE_RULE_WAIVED = _fault(93, "core-rule-waived", "A waiver of a rule of the core, which can't be waived.")

FAULTS: tuple[Fault, ...] = tuple(value for value in tuple(globals().values()) if isinstance(value, Fault))
"""All of them in order of code."""


def fault(name: str) -> Fault | None:
    """The fault of this name, or None."""
    return next((entry for entry in FAULTS if entry.name == name), None)
