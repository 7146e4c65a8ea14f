"""The chains of a rig as lines of text, so that the author sees what leads to what while she writes."""

from __future__ import annotations

from collections import Counter

from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.model.rig import ATMOSPHERE, Rig
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import wrap

LEGEND = "[gate]   (connector)   ~air~ the room   *part* stands in several chains, which meet there"


def chain_lines(rig: Rig, look: Look) -> tuple[str, ...]:
    """One paragraph per chain in the order of the file, then what lies in none."""
    count = Counter(name for chain in rig.chains for name in {n.partition(".")[0] for n in chain.parts})
    families = {part.id: kind.family for part in rig.parts if (kind := part_kind(part.kind)) is not None}
    link = " ── " if look.full else " -- "
    out: list[str] = []
    for number, chain in enumerate(rig.chains, 1):
        told = link.join(_told(name, families, count) for name in chain.parts)
        out += wrap(told, look.width, f"{number:>3}  ", "       ")
    joined = sorted({_pair(s.part, s.word) for b in rig.baselines[:1] for s in b.settings if s.word.startswith("joined:")})
    if joined:
        pairs = ", ".join(f"({one})==({other})" for one, other in joined)
        out += ["", *wrap(pairs, look.width, f"Joined in {rig.baselines[0].name}: ", "    ")]
    loose = [part.id for part in rig.parts if part.id not in count and families.get(part.id) is not Family.EQUIPMENT]
    if loose:
        out += ["", *wrap(", ".join(loose), look.width, "In no chain: ", "    ")]
    beside = [part.id for part in rig.parts if families.get(part.id) is Family.EQUIPMENT]
    if beside:
        out += ["", *wrap(", ".join(beside), look.width, "Equipment beside the chains: ", "    ")]
    return (*out, "", *wrap(LEGEND, look.width))


def _told(name: str, families: dict[str, Family], count: Counter[str]) -> str:
    part, _, place = name.partition(".")
    if name == ATMOSPHERE:
        return "~air~"
    words = f"{part} ({place})" if place else part
    match families.get(part):
        case Family.GATE:
            return f"[{words}]"
        case Family.END:
            return f"({words})"
        case _:
            return f"*{words}*" if count[part] > 1 and not place else words


def _pair(part: str, word: str) -> tuple[str, str]:
    one, other = sorted((part, word.removeprefix("joined:")))
    return one, other
