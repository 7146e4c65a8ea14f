"""An instance as the search takes it."""

from __future__ import annotations

from functools import cache

from stepwell.model.predicate import Predicate
from tests.orders.boolean import declared
from tests.orders.boolean.declared import Declared, Effect, Hazard, When

from .instance import Instance, Literals, literals_of


def declare(instance: Instance) -> Declared:
    """The world of an instance."""
    bit = {name: 1 << index for index, name in enumerate(instance.facts)}

    def test(literals: Literals) -> declared.Conjunction:
        return declared.Conjunction(
            sum(bit[name] for name, _ in literals), sum(bit[name] for name, value in literals if value)
        )

    @cache
    def read(predicate: Predicate) -> declared.Conjunction:
        return test(literals_of(predicate))

    return Declared(
        beginnings=tuple(dict.fromkeys(sum(bit[name] for name in start) for start in instance.starts)),
        deeds={
            verb: declared.Deed(
                needs=test(deed.needs),
                effects=tuple(Effect(test(when), bit[name], bit[name] * value) for when, (name, value) in deed.effects),
            )
            for verb, deed in instance.deeds.items()
        },
        hazards=tuple(
            Hazard(name=rule.name, when=When(rule.moment), bad=test(rule.bad), verb=rule.verb) for rule in instance.rules
        ),
        read=read,
    )
