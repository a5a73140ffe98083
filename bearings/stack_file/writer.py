"""Write a stack as a mapping of the stack file."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from bearings.engineering.quantities import Bearing, Item, Policy, Stack


def _known(thing: Any, *, without: tuple[str, ...] = ()) -> dict[str, Any]:
    pairs = ((field.name, getattr(thing, field.name)) for field in fields(thing) if field.name not in without)
    return {name: value for name, value in pairs if value is not None}


def item_to_dict(item: Item) -> dict[str, Any]:
    """Return one item as it stands in the file."""
    return {"kind": "bearing", **_known(item)} if isinstance(item, Bearing) else _known(item)


def stack_to_dict(stack: Stack) -> dict[str, Any]:
    """Return the mapping that reads back as the same stack."""
    data: dict[str, Any] = {
        "stack_file": 1,
        "motor": _known(stack.motor),
        "lubrication": _known(stack.lubrication),
        "items": [item_to_dict(item) for item in stack.items],
    }
    if stack.policy != Policy():
        data["policy"] = {**_known(stack.policy, without=("set_factors",)), "set_factors": _known(stack.policy.set_factors)}
    if stack.guides:
        data["guides"] = [{**_known(g.bearing), **_known(g, without=("bearing",))} for g in stack.guides]
    return data
