"""stop: the pump."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.hammer import hammered
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Stop the drive; ``for`` is how long it then stands still before anything else. ``abrupt``: not by a ramp.

    One that stands still already is noted, unless the action says ``ensure``.
    """
    part = action.parts[0]
    if bench.number(part, "speed") == 0 and action.option("ensure") is not True:
        bench.already = f"{bench.label(part)} stands still already"
    before = tuple(bench.values)
    bench.write_number(part, "speed", 0)
    if action.option("abrupt") is True:
        after = tuple(bench.values)
        bench.happens("hammered", part, hammered(bench.layout, before, bench.view.water, after))
    bench.lasts(action)
    return None


VERB = Verb(
    name="stop",
    summary="Stop the pump, by a ramp unless `abrupt: true`.",
    words=("stop",),
    does="stops {0}",
    pairs=(("drive",),),
    arity=Arity.EACH,
    effect=effect,
    options=(
        OptionSpec(name="for", takes="time", summary="how long it stands still before anything else"),
        OptionSpec(name="abrupt", takes="flag", summary="stopped at once, not by a ramp"),
        OptionSpec(name="ensure", takes="flag", summary="no remark where it stands still already"),
    ),
)
