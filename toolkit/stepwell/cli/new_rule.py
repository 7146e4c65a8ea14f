"""new rule: a hazard rule of the unit's own, from a few answers."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.questions import Choice, Questions

_SHAPES = ("at-the-end", "never", "before-doing")
_SEVERITIES = ("fatal", "serious", "minor")


def add(what: argparse._SubParsersAction[argparse.ArgumentParser], unit_option: Callable[..., None]) -> None:
    """Add it to what ``new`` can begin."""
    parser = what.add_parser("rule", help="a hazard rule of the unit's own", description=__doc__)
    parser.add_argument("id", metavar="NAME", help="what is wrong, such as vent-left-open")
    for flag, told in (
        ("--title", "what is wrong, as a sentence"),
        ("--kind", "the kind of part it looks at, such as clamp (default: vent)"),
        ("--fact", "what must be so, or for never what must not, such as shut"),
        ("--verb", "for before-doing: the action, such as zero"),
        ("--harm", "what it does to the patient"),
        ("--control", "what usually keeps it away"),
    ):
        parser.add_argument(flag, metavar="TEXT", help=told)
    parser.add_argument("--shape", choices=_SHAPES, help="where it looks (default: at-the-end)")
    parser.add_argument("--severity", choices=_SEVERITIES, help="how bad it is (default: serious)")
    unit_option(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Write rules/NAME.yaml with the next free code."""
    from stepwell.authoring import starter_rule as rules
    from stepwell.cli.new import load_unit, named, write_new

    workspace, root = load_unit(args.unit, console)
    name = named(args.id)
    if any(rule.name == name for rule in workspace.rules):
        raise UsageProblem(f"There is a rule {name!r} already.", "Give this one a name of its own.")
    ask = Questions(console=console)
    title = args.title or ask.text("What is wrong, in one sentence?", "--title")
    shape = ask.one("Where does it look?", "--shape", _choices(rules.SHAPES), args.shape, "at-the-end")
    here = {part.kind for rig in workspace.rigs for part in rig.parts}
    kinds = [one for one in rules.kinds() if one[0] in here] or list(rules.kinds())
    kind = ask.one("At which kind of part?", "--kind", _choices(kinds), args.kind, "vent" if _has(kinds, "vent") else "")
    verb = ""
    if shape == "before-doing":
        verb = ask.one("Before which action?", "--verb", _choices(rules.verbs_of(kind)), args.verb)
    question = "What must never be so?" if shape == "never" else "What must be so?"
    facts = rules.facts_of(kind)
    fact = ask.one(question, "--fact", _choices(facts), args.fact, "shut" if _has(facts, "shut") else "")
    severity = ask.one("How bad is it?", "--severity", _choices(rules.SEVERITIES), args.severity, "serious")
    used = {rule.code for rule in workspace.rules}
    new = rules.NewRule(
        name=name,
        code=next(code for n in range(1, 10_000) if (code := f"U{n:03d}") not in used),
        title=title,
        shape=shape,
        kind=kind,
        fact=fact,
        verb=verb,
        severity=severity,
        harm=args.harm or ask.text("What does it do to the patient?", "--harm", rules.HARM),
        control=args.control or ask.text("What usually keeps it away?", "--control", rules.CONTROL),
    )
    write_new(root / "rules" / f"{name}.yaml", rules.rule_text(new), console)
    return 0


def _choices(pairs: Iterable[tuple[str, str]]) -> tuple[Choice, ...]:
    return tuple(Choice(word=word, told=told) for word, told in pairs)


def _has(pairs: Iterable[tuple[str, str]], word: str) -> bool:
    return any(one == word for one, _ in pairs)
