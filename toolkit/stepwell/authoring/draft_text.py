"""A draft as the text of a procedure's file, and the report on what a person must look at."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from stepwell.authoring.draft import Draft, Group, Line, Remark
from stepwell.authoring.ids import Choose, mint
from stepwell.authoring.yaml_text import listing, scalar


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What the document can't tell. ``people``: those whom the card must list, the usual one first."""

    id: str
    source: str
    kind: str
    rig: str
    people: tuple[str, ...]


def mint_ids(draft: Draft, used: Collection[str] = (), choose: Choose | None = None) -> None:
    """Give every line an id of its own."""
    taken = set(used)
    for line in draft.body.lines():
        line.id = mint(taken, choose)
        taken.add(line.id)


def people_of(draft: Draft, listed: tuple[str, ...]) -> tuple[str, ...]:
    """Those ``listed``, and whoever else does or confirms a line."""
    lines = draft.body.lines()
    return tuple(dict.fromkeys((*listed, *(line.who for line in lines), *(line.confirm for line in lines if line.confirm))))


def draft_text(draft: Draft, head: Head, proposed: dict[str, tuple[str, ...]] | None = None) -> str:
    """The file. ``proposed``: per line id, what stands below it as comments. Raises ValueError if there is no line."""
    if not draft.body.lines():
        raise ValueError("a procedure needs a line")
    use = "call-and-reply" if len(head.people) > 1 else "read-and-do"
    out = [
        "# yaml-language-server: $schema=../schema/procedure.schema.json",
        f"# Draft made from {_comment(head.source)}. Wording only: its order is not checked.",
        "# Go through it with the document beside it; every comment is something that found no place on the card.",
        f"procedure: {head.id}",
        f"title: {_words(draft.title)}",
        'version: "0.1.0"',
        f"kind: {head.kind}",
        f"rig: {head.rig}",
        f"use: {use}",
        f"people: {listing(head.people)}",
    ]
    for key, texts in (("use-when", draft.use_when), ("do-not-use-when", draft.do_not_use_when)):
        if texts:
            out.append(f"{key}: {_words(' '.join(texts))}")
    if draft.kit:
        out += ["kit:", *(f"  - {{name: {_flow(name)}, amount: {_flow(amount)}}}" for name, amount in draft.kit)]
    if draft.cautions:
        out += ["cautions:", *(f"  - {_words(text)}" for text in draft.cautions)]
    if draft.sources:
        out += ["sources:", *(f"  - {_flow(text)}" for text in draft.sources)]
    if draft.beside:
        out.append("# Beside the text of the document:")
        out += [f"# {_comment(f'{one.place}: {one.text}')}" for one in draft.beside]
    out.append("body:")
    out += _items(draft.body, "  ", proposed or {})
    return "\n".join(out) + "\n"


def _items(group: Group, pad: str, proposed: dict[str, tuple[str, ...]]) -> list[str]:
    out: list[str] = []
    open_stage = False
    for item in group.items:
        if isinstance(item, Line) and group.level == 0 and not group.title:
            if not open_stage:
                out += [f"{pad}- stage: Steps", f"{pad}  steps:"]
                open_stage = True
            out += _line(item, pad + "    ", proposed)
        elif isinstance(item, Line):
            out += _line(item, pad, proposed)
        elif isinstance(item, Remark):
            out.append(f"{pad}# {_comment(f'{item.place}: {item.text}')}")
        elif item.lines():
            open_stage = open_stage and item.listed
            inner = pad + "    " if open_stage else pad
            out += [f"{inner}- stage: {_flow(item.title)}", f"{inner}  steps:"]
            out += _items(item, inner + "    ", proposed)
        else:
            out += _no_lines(item, pad)
    return out


def _no_lines(group: Group, pad: str) -> list[str]:
    out = [f"{pad}# {_comment(f'{group.place}: {group.title}')}"]
    for item in group.items:
        if isinstance(item, Remark):
            out.append(f"{pad}# {_comment(f'{item.place}: {item.text}')}")
        elif isinstance(item, Group):
            out += _no_lines(item, pad)
    return out


def empty_groups(group: Group) -> list[Group]:
    """Headings without a line below them."""
    found: list[Group] = []
    for item in group.items:
        if isinstance(item, Group):
            found += empty_groups(item) if item.lines() else [item, *empty_groups(item)]
    return found


def _line(line: Line, pad: str, proposed: dict[str, tuple[str, ...]]) -> list[str]:
    where = f"{line.number} ({line.place})" if line.number else line.place
    out = [f"{pad}# {_comment(where)}", *(f"{pad}# {_comment(note)}" for note in line.notes)]
    out += [f"{pad}- id: {line.id}", f"{pad}  who: {line.who}", f"{pad}  say: {_words(line.say)}"]
    out += [f"{pad}  {text}" for text in proposed.get(line.id, ())]
    if line.see:
        seen = ", ".join(f"{{see: {_words(text, flow=True)}}}" for text in line.see)
        out.append(f"{pad}  expect: [{seen}]")
    if line.confirm:
        out.append(f"{pad}  confirm: {line.confirm}")
    if line.why:
        out.append(f"{pad}  why: {_words(' '.join(line.why))}")
    if line.warn:
        out.append(f"{pad}  warn:")
    for one in line.warn:
        out += [
            f"{pad}    - hazard: {_words(one.hazard)}",
            f"{pad}      consequence: {_words(one.consequence)}",
            f"{pad}      avoidance: {_words(one.avoidance)}",
            f"{pad}      severity: {one.severity}",
        ]
    return out


def _words(text: str, *, flow: bool = False) -> str:
    """Words in which braces are to be printed."""
    doubled = text.replace("{", "{{").replace("}", "}}")
    return _flow(doubled) if flow else scalar(doubled)


def _flow(text: str) -> str:
    return scalar(text)


def _comment(text: str) -> str:
    return " ".join(text.split())


def report_text(draft: Draft, head: Head, remarks: tuple[str, ...], proposals: tuple[str, ...] = ()) -> str:
    """What was made of the document, and everything that a person must look at, place by place."""
    lines = draft.body.lines()
    out = [f"# {head.source} -> {head.id}", ""]
    out.append(f"Lines: {len(lines)}. Warnings: {sum(len(line.warn) for line in lines)}. Kit: {len(draft.kit)}.")
    out += ["The draft is wording only. Its order is not checked, and nobody has read it yet.", ""]
    told = [*draft.told]
    if remarks or told or empty_groups(draft.body):
        out += ["## To look at", ""]
    out += [f"- {text}" for text in remarks]
    out += [f"- {one.place}: {_comment(one.text)}" for one in told]
    out += [f"- {one.place}: No line stands below this heading: {_comment(one.title)}" for one in empty_groups(draft.body)]
    if proposals:
        out += ["", "## Actions that the words seem to mean", "", *proposals]
    return "\n".join(out) + "\n"
