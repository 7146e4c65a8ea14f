"""A loaded draft as short lines, to compare with what a person expected of the document."""

from __future__ import annotations

from stepwell.model.procedure import Procedure, Sight, Stage, Step, Words, plain


def outline(procedure: Procedure) -> list[str]:
    """The wording, line by line."""
    out = [f"title: {procedure.title}"]
    for name, words in (("use when", procedure.use_when), ("not when", procedure.do_not_use_when)):
        out += [f"{name}: {said(words)}"] if words else []
    out += [f"kit: {item.amount} | {item.name}" for item in procedure.kit]
    out += [f"caution: {said(words)}" for words in procedure.cautions]
    out += [f"source: {text}" for text in procedure.sources]
    for item in procedure.body:
        assert isinstance(item, Stage)
        out += _stage(item, "")
    return out


def said(words: Words) -> str:
    return plain(words, {}, {})


def _stage(stage: Stage, pad: str) -> list[str]:
    out = [f"{pad}[{stage.title}]"]
    for item in stage.body:
        if isinstance(item, Stage):
            out += _stage(item, pad + "  ")
        else:
            assert isinstance(item, Step)
            out += _step(item, pad + "  ")
    return out


def _step(step: Step, pad: str) -> list[str]:
    out = [f"{pad}{step.who}: {said(step.say)}"]
    out += [f"{pad}  see: {said(one.words)}" for one in step.expect if isinstance(one, Sight)]
    out += [f"{pad}  confirm: {step.confirm}"] if step.confirm else []
    for warn in step.warn:
        fields = " | ".join(said(words) for words in (warn.hazard, warn.consequence, warn.avoidance))
        out.append(f"{pad}  warn {warn.severity}: {fields}")
    return out + ([f"{pad}  why: {said(step.why)}"] if step.why else [])
