"""A very small unit on disk: one set, one procedure that is right, one that zeroes a sensor wet."""

from __future__ import annotations

from pathlib import Path

FILES = {
    "unit.yaml": """\
unit: Bench unit
region: eu
languages: [en]
reading-distance: 60 cm
roles:
  nurse: {label: Nurse, mark: N}
""",
    "rigs/bench.yaml": """\
rig: bench
title: Bench set
version: "1.0.0"
parts:
  bag: {kind: bag, label: prime bag, volume: 1000 mL, height: 170 cm}
  prime-clamp: {kind: clamp, label: prime clamp}
  line: {kind: line, label: prime line, bore: 3/8 in, length: 2 m}
  oxygenator: {kind: oxygenator, label: oxygenator, volume: 250 mL, height: 90 cm}
  vent: {kind: vent, label: vent, of: oxygenator}
  sensor: {kind: pressure-sensor, label: line sensor, trait: built-in, site: line}
chains:
  - [bag, prime-clamp, line, oxygenator, vent, air]
baselines:
  unpacked: {bag: clear, prime-clamp: shut, vent: open, sensor: plugged}
""",
    "procedures/right.yaml": """\
procedure: right
title: Zero, then fill
version: "1.0.0"
kind: routine
rig: bench
use: read-and-do
people: [nurse]
use-when: The set is dry.
do-not-use-when: The set is wet.
kit: [{name: Prime bag, amount: "1"}]
starts: {from: unpacked}
ends: [{shut: [vent, prime-clamp]}]
sources: [common practice]
done-call: Filled.
body:
  - {id: a1bc, who: nurse, say: "Zero {sensor}.", do: {zero: sensor}}
  - {id: b2cd, who: nurse, say: "Hang {bag}.", do: {hang: bag}}
  - {id: c3de, who: nurse, say: "Open {prime-clamp}.", do: {open: prime-clamp}}
  - {id: w9xy, who: nurse, say: "Wait 60 s.", do: {wait: 60 s}}
  - {id: d4ef, who: nurse, say: "Shut {prime-clamp}.", do: {shut: prime-clamp}}
  - {id: e5fg, who: nurse, say: "Cover {vent}.", do: {shut: vent}}
""",
}
RULE = """\
rule: sensor-zeroed-wet
code: SW901
hazards: [H01]
title: A built-in pressure sensor is zeroed after the set was filled
severity: serious
certainty: could
harm: It reads low from then on.
control: Zero it dry.
sources: [{text: The head of the liquid is stored as zero, mark: physics}]
not-checked: Drift.
for-every: {s: {kind: pressure-sensor, trait: built-in}}
before-doing: {verb: zero, part: s}
require: {dry: s.site}
message: "{s} is zeroed when its chamber is not surely dry."
mend: Zero {s} before the prime line is opened.
"""
ORDER = ("a1bc", "b2cd", "c3de", "w9xy", "d4ef", "e5fg")


def wrong() -> str:
    """The right procedure with the sensor zeroed after the fill."""
    lines = FILES["procedures/right.yaml"].replace("procedure: right", "procedure: wrong").splitlines(keepends=True)
    zero = next(line for line in lines if "a1bc" in line)
    lines.remove(zero)
    place = next(number for number, line in enumerate(lines) if "e5fg" in line)
    return "".join([*lines[:place], zero, *lines[place:]])


def write_unit(root: Path, *, bad: bool = False) -> Path:
    """Write the unit to ``root``; with ``bad`` the wrong procedure too."""
    for name, text in FILES.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    if bad:
        (root / "procedures/wrong.yaml").write_text(wrong(), encoding="utf-8")
    return root


def write_catalogue(folder: Path) -> Path:
    """A catalogue of one rule, so that these tests do not hang on what the real one says."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "sensor-zeroed-wet.yaml").write_text(RULE, encoding="utf-8")
    return folder
