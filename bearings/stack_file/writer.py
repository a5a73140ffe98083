"""From a stack to the values of a stack file."""

from __future__ import annotations

from collections.abc import Iterable

from bearings.engineering.quantities import Bearing, Guide, Item, Policy, SetFactors, Stack
from bearings.stack_file import fields as table

Values = dict[str, object]


def _known(thing: object, names: Iterable[str]) -> Values:
    pairs = ((name, getattr(thing, name)) for name in names)
    return {name: value for name, value in pairs if value is not None}


def item_values(item: Item) -> Values:
    """Return one item as the stack file holds it, without its unknown fields."""
    if isinstance(item, Bearing):
        return {"kind": "bearing"} | _known(item, table.BEARING)
    return {"kind": item.kind} | _known(item, table.PART)


def guide_values(guide: Guide) -> Values:
    """Return one guide as the stack file holds it."""
    return _known(guide.bearing, table.BEARING) | _known(guide, table.OF_GUIDE)


def _overrides(policy: Policy) -> Values:
    usual = Policy()
    values = {
        name: value for name, value in _known(policy, table.POLICY).items() if value != getattr(usual, name)
    }
    factors = {
        name: value
        for name, value in _known(policy.set_factors, table.SET_FACTORS).items()
        if value != getattr(SetFactors(), name)
    }
    return values | ({"set_factors": factors} if factors else {})


def stack_values(stack: Stack) -> Values:
    """Return a stack as the values of a stack file; reading them gives the same stack."""
    motor = _known(stack.motor, table.MOTOR)
    if stack.motor.duty is not None:
        motor["duty"] = [_known(point, table.DUTY_POINT) for point in stack.motor.duty]
    values: Values = {
        "stack_file": max(table.VERSIONS),
        "motor": motor,
        "lubrication": _known(stack.lubrication, table.LUBRICATION),
        "policy": _overrides(stack.policy),
        "items": [item_values(item) for item in stack.items],
        "guides": [guide_values(guide) for guide in stack.guides],
    }
    return {name: value for name, value in values.items() if value not in ({}, [])}
