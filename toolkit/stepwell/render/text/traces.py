"""An order told step by step: who does what, what the circuit does because of it, where the trap is set
and sprung."""

from __future__ import annotations

from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns, pad, wrap

_GUTTER = 10
_MARKS = {"trap": "TRAP", "spring": "SPRING", "trap and spring": "SPRING"}


def trace_lines(trace: Trace, look: Look) -> tuple[str, ...]:
    """The order as lines of text, with its heading, its legend and the circuit at the moment of the
    finding."""
    out: list[str] = [*wrap(_heading(trace), look.width, "    ")]
    wide = min(24, max((columns(line.who) for line in trace.lines), default=0))
    for number, line in enumerate(trace.lines, start=1):
        out += _one(number, line, wide, look)
    marks = {line.mark for line in trace.lines}
    if "trap" in marks and "spring" in marks:
        legend = "TRAP: from here on the danger is there, unseen. SPRING: here it strikes."
        out += [look.paint(text, "faint") for text in wrap(legend, look.width, "    ")]
    if trace.circuit:
        out.append("    The circuit at that moment:")
        for sentence in trace.circuit:
            out += wrap(sentence, look.width, "      - ")
    return tuple(out)


def _heading(trace: Trace) -> str:
    if not trace.lines:
        return "This is so from the start, before anything is done."
    if len(trace.lines) == 1:
        return "It takes one action:"
    order = "The shortest order" if trace.shortest else "An order, maybe not the shortest,"
    return f"{order} that leads there, {len(trace.lines)} actions:"


def _one(number: int, line: TraceLine, wide: int, look: Look) -> tuple[str, ...]:
    word = _MARKS.get(line.mark, "")
    gutter = pad(f"  {word}" if word else "", _GUTTER)
    lead = f"{gutter}{number:>3}  {pad(line.who, wide)}  "
    step = f"  [{line.step}]" if line.step else ""
    lines = list(wrap(f"{line.does}{step}", look.width, lead))
    for change in line.changes:
        lines += wrap(change, look.width, " " * columns(lead) + "→ ")
    if word:
        painted = look.paint(f"  {word}", "bad" if word == "SPRING" else "doubt")
        lines[0] = painted + lines[0][len(word) + 2 :]
    return tuple(lines)
