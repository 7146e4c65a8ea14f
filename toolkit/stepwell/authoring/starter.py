"""What ``new`` writes: a unit's folder, a procedure, a set adapted from another. Texts only; nothing is written."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stepwell.authoring.yaml_text import listing, scalar

SCHEMA = "# yaml-language-server: $schema=../schema/{name}.schema.json\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRole:
    """A role of a new unit: its id, what cards print, and the mark."""

    id: str
    label: str
    mark: str


ROLES = (
    NewRole(id="specialist", label="ECMO specialist", mark="ES"),
    NewRole(id="primer", label="Sterile primer", mark="SP"),
    NewRole(id="assistant", label="Assistant", mark="A"),
    NewRole(id="physician", label="ECMO physician", mark="EP"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewProcedure:
    """The answers from which a procedure is begun. ``step`` is the id minted for its first line."""

    id: str
    title: str
    kind: str
    rig: str
    use: str
    people: tuple[str, ...]
    use_when: str
    do_not_use_when: str
    step: str


def unit_text(name: str, region: str) -> str:
    """unit.yaml of a new unit."""
    roles = "".join(f"  {role.id}: {{label: {scalar(role.label)}, mark: {role.mark}}}\n" for role in ROLES)
    return (
        "# yaml-language-server: $schema=schema/unit.schema.json\n"
        f"unit: {scalar(name)}\n"
        f"region: {scalar(region)}\n"
        "languages: [en]\n"
        "# From how far a card is read at the bedside. The type size follows from it.\n"
        "reading-distance: 60 cm\n"
        "# People appear as roles only.\n"
        f"roles:\n{roles}"
        "# The unit's own figures. Write {start-speed} in a text, or `at: start-speed` in an action.\n"
        "numbers: {}\n"
        "# Who approves what, and where cards hang; see `stepwell explain`.\n"
        "# review: ...\n"
        "# places: ...\n"
    )


def terms_text() -> str:
    """terms.yaml of a new unit."""
    return (
        "# yaml-language-server: $schema=schema/terms.schema.json\n"
        "# Words that mean the same when somebody searches. The first is the unit's own.\n"
        "synonyms:\n"
        "  - [air in the circuit, air embolism, bubbles]\n"
        "# Words to avoid, and what to write instead.\n"
        "avoid:\n"
        "  as required: state the value\n"
    )


def procedure_text(new: NewProcedure) -> str:
    """A procedure with one line, as wording only: its order is checked once steps say what they do."""
    return (
        SCHEMA.format(name="procedure") + f"procedure: {new.id}\n"
        f"title: {scalar(new.title)}\n"
        'version: "0.1.0"\n'
        f"kind: {new.kind}\n"
        f"rig: {new.rig}\n"
        f"use: {new.use}\n"
        f"people: {listing(new.people)}\n"
        f"use-when: {scalar(new.use_when)}\n"
        f"do-not-use-when: {scalar(new.do_not_use_when)}\n"
        "# The state it starts from, once steps say what they do: starts: {from: <a baseline of the rig>}\n"
        "# What must be so at the end: ends: [{shut: vent}]\n"
        "done-call: Done.\n"
        "body:\n"
        "  - stage: Begin\n"
        "    steps:\n"
        f"      - id: {new.step}\n"
        f"        who: {new.people[0]}\n"
        "        say: Call the team together and read the title aloud.\n"
    )


def rig_text(source: str, new_id: str, title: str) -> str:
    """The text of a rig as one of the unit's own: another id and title, version 0.1.0, not inspected."""
    found = re.sub(r"(?m)^# yaml-language-server:.*\n", "", source)
    found = re.sub(r"(?m)^rig: .*$", f"rig: {new_id}", found, count=1)
    found = re.sub(r"(?m)^title: .*$", lambda _: f"title: {scalar(title)}", found, count=1)
    found = re.sub(r"(?m)^version: .*$", 'version: "0.1.0"', found, count=1)
    found = re.sub(r"(?m)^inspected: .*\n", "", found)
    note = "# Begun from another set. Go through it part by part with the real one: a wrong rig voids every verdict.\n"
    return SCHEMA.format(name="rig") + note + found
