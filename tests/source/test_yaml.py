"""YAML as the loader reads it: values of YAML 1.2, exact places, refusals, and nothing that raises."""

from __future__ import annotations

import json
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepwell.diagnostics.span import Span
from stepwell.source import parse as parse_module
from stepwell.source.nodes import Listing, Mapping, Node, Scalar, places, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import MOST_NODES, parse
from stepwell.source.scalars import resolve
from stepwell.source.syntax import MOST_DEPTH


def read(text: str | bytes) -> tuple[Node | None, Notes]:
    notes = Notes("x.yaml")
    return parse(text.encode() if isinstance(text, str) else text, notes), notes


def rules(notes: Notes) -> list[str]:
    return [finding.rule for finding in notes.findings]


def slice_of(text: str, span: Span) -> str:
    lines = text.split("\n")
    if span.line == span.end_line:
        return lines[span.line - 1][span.column - 1 : span.end_column - 1]
    middle = lines[span.line : span.end_line - 1]
    return "\n".join([lines[span.line - 1][span.column - 1 :], *middle, lines[span.end_line - 1][: span.end_column - 1]])


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("off", "off"),
        ("no", "no"),
        ("yes", "yes"),
        ("on", "on"),
        ("1:30", "1:30"),
        ("0123", 123),
        ("0o17", 15),
        ("0x1F", 31),
        ("3.10", 3.1),
        ("1e3", 1000.0),
        ("true", True),
        ("False", False),
        ("null", None),
        ("~", None),
        ("2026-10-01", "2026-10-01"),
        ("1_000", "1_000"),
        ("=", "="),
        (".5", 0.5),
        ("-", "-"),
    ],
)
def test_plain_words_follow_yaml_1_2(text: str, value: object) -> None:
    found = resolve(text)
    assert found == value
    assert type(found) is type(value)


def test_a_number_of_a_million_digits_stays_text() -> None:
    node, _ = read("a: " + "9" * 100_000)
    assert plain_value(node or Scalar("", None, True, Span(path="", line=1, column=1, end_line=1, end_column=1))) == {
        "a": "9" * 100_000
    }


def test_every_key_and_value_has_its_exact_place() -> None:
    text = 'name: x\nbody:\n  - id: k7f3\n    do: {open: [a, "b c"]}\n    n:\n  - |\n    two\n    lines\n\nlast: end # n\n'
    node, notes = read(text)
    assert node is not None
    assert not notes.findings
    found = {pointer: slice_of(text, place.value) for pointer, place in places(node).items()}
    assert found["/name"] == "x"
    assert found["/body/0/do"] == '{open: [a, "b c"]}'
    assert found["/body/0/do/open"] == '[a, "b c"]'
    assert found["/body/0/do/open/1"] == '"b c"'
    assert found["/body/0/n"] == ""
    assert found["/body/0"] == 'id: k7f3\n    do: {open: [a, "b c"]}\n    n:'
    assert found["/body/1"] == "|\n    two\n    lines"
    assert found["/last"] == "end"
    keys = {pointer: slice_of(text, place.key) for pointer, place in places(node).items() if place.key}
    assert keys["/body/0/do/open"] == "open"


def test_windows_line_ends_and_a_byte_order_mark_do_no_harm() -> None:
    node, notes = read(b"\xef\xbb\xbfa: 1\r\nb: two\r\n")
    assert node is not None
    assert plain_value(node) == {"a": 1, "b": "two"}
    assert not notes.findings
    assert places(node)["/b"].value == Span(path="x.yaml", line=2, column=4, end_line=2, end_column=7)


def test_columns_count_characters_and_not_bytes() -> None:
    node, _ = read("a: [äöü💧, b]\n")
    assert node is not None
    assert places(node)["/a/1"].value.column == 11


class NoAliases(yaml.SafeDumper):
    """Writes a value that stands in two places twice."""

    def ignore_aliases(self, data: object) -> bool:
        return True


words = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Cf", "Co", "Cn"), exclude_characters="\u2028\u2029"), max_size=12
)
scalars = st.one_of(st.none(), st.booleans(), st.integers(-(10**9), 10**9), words)
trees = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(words.filter(bool), inner, max_size=4)),
    max_leaves=20,
)


@settings(deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(tree=st.dictionaries(words.filter(bool), trees, min_size=1, max_size=5), flow=st.booleans())
def test_what_is_written_is_read_and_every_place_points_at_its_text(tree: dict[str, Any], flow: bool) -> None:
    text = yaml.dump(tree, allow_unicode=True, default_flow_style=flow, sort_keys=False, width=60, Dumper=NoAliases)
    node, notes = read(text)
    assert node is not None, text
    assert not [rule for rule in rules(notes) if rule != "explicit-tag"], text
    for place, value in walk(node):
        if isinstance(value, Scalar) and place.line == place.end_line:
            # The text at the place, read by itself, is the value.
            written = slice_of(text, place)
            again = yaml.compose(written, Loader=yaml.SafeLoader) if written else None
            assert (again.value if again is not None else "") == value.text


def walk(node: Node) -> list[tuple[Span, Node]]:
    found = [(node.span, node)]
    match node:
        case Mapping(entries=entries):
            for entry in entries.values():
                found.append((entry.key_span, Scalar(entry.key, entry.key, False, entry.key_span)))
                found.extend(walk(entry.value))
        case Listing(items=items):
            for item in items:
                found.extend(walk(item))
        case Scalar():
            pass
    return found


@settings(deadline=None, max_examples=200)
@given(tree=trees)
def test_json_is_read_as_json(tree: object) -> None:
    node, notes = read("a: " + json.dumps(tree, ensure_ascii=False))
    assert node is not None
    assert not notes.findings
    assert plain_value(node) == {"a": tree}


hostile = st.one_of(
    st.binary(max_size=200),
    st.text(max_size=200).map(lambda text: text.encode("utf-8", errors="surrogatepass")),
    st.text(alphabet="{}[]&*!|>'\"%@`#:-?,<\n\t ab~.\\x0", max_size=120).map(str.encode),
)


@settings(deadline=None, max_examples=600)
@given(data=hostile)
def test_no_bytes_ever_raise(data: bytes) -> None:
    node, notes = read(data)
    assert node is not None or notes.findings


@settings(deadline=None, max_examples=200)
@given(data=hostile)
def test_the_pure_parser_is_a_safe_fall_back(data: bytes) -> None:
    before = parse_module._LOADER
    parse_module._LOADER = yaml.SafeLoader
    try:
        node, notes = read(data)
    finally:
        parse_module._LOADER = before
    assert node is not None or notes.findings


def test_deep_nesting_is_refused() -> None:
    for data in ("[" * 200_000, "{a: " * 100_000, "\n".join(" " * n + "a:" for n in range(1400))):
        node, notes = read(data)
        assert node is None
        assert rules(notes) == ["nested-too-deep"]
    node, notes = read("[" * MOST_DEPTH + "]" * MOST_DEPTH)
    assert node is not None
    assert not notes.findings


def test_too_many_values_are_refused() -> None:
    node, notes = read("[" + "1," * (MOST_NODES + 5) + "]")
    assert node is None
    assert rules(notes) == ["too-many-values"]


def test_a_file_over_one_mebibyte_is_refused() -> None:
    node, notes = read(b"a" * (1024 * 1024 + 1))
    assert node is None
    assert rules(notes) == ["file-too-large"]


def test_laughter_is_refused_and_not_expanded() -> None:
    text = "a: &a [x, x]\n" + "".join(f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20))
    node, notes = read(text)
    assert node is None
    assert set(rules(notes)) == {"alias-or-anchor"}


def test_a_list_or_mapping_as_a_key_is_refused_once() -> None:
    node, notes = read("? [a, {b: c}]\n: {d: e}\nf: g\n")
    assert node is not None
    assert plain_value(node) == {"f": "g"}
    assert rules(notes) == ["key-not-text"]


def test_bad_characters_are_each_told_and_the_rest_is_read() -> None:
    node, notes = read("a: \u200bx\nb: \ue000\nc: ok\n")
    assert node is not None
    assert rules(notes) == ["forbidden-character"] * 2
    assert [(f.span.line, f.span.column) for f in notes.findings if f.span] == [(1, 4), (2, 4)]
    assert "private font" in notes.findings[1].message


def test_many_bad_characters_are_counted_and_not_listed() -> None:
    _, notes = read("a: " + "\u200b" * 500)
    assert len(notes.findings) == 10
    assert "490 more" in notes.findings[-1].message


def test_a_comment_after_a_text_is_no_fault() -> None:
    _, notes = read("a: open the vent # as agreed\n")
    assert not notes.findings
