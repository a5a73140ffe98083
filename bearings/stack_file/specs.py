"""What a field of the stack file is: its kind, unit, range and choices."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from bearings.stack_file.unknowns import KIND_OF, WhenUnknown

FieldKind = Literal["number", "integer", "text", "choice", "boolean", "list"]
Room = Literal["motor", "duty_point", "lubrication", "policy", "set_factors", "bearing", "part", "guide"]

MOST_ITEMS: Final = 20
MOST_DUTY_POINTS: Final = 20
SHARE_TOLERANCE: Final = 0.001  # of the shares of a duty, which add up to 1
LONGEST_TEXT: Final = 200
MOST_BYTES: Final = 1024 * 1024
DEEPEST_NESTING: Final = 16
LEAST: Final = 0.001  # of sizes, ratings and speeds, which are never zero or negative


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldSpec:
    """One field: what it holds, in which unit, and what is accepted."""

    name: str
    kind: FieldKind
    description: str
    unit: str = ""
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[str, ...] = ()
    default: float | str | None = None
    required: bool = False
    since: int = 1

    @property
    def when_unknown(self) -> WhenUnknown:
        """What becomes of a verdict while the field is unknown; a field in none of the lists is a fault."""
        return KIND_OF[self.name]


def number_field(
    name: str, unit: str, low: float, high: float, description: str, default: float | None = None
) -> FieldSpec:
    """Return a number with its unit and range."""
    return FieldSpec(
        name=name,
        kind="number",
        unit=unit,
        minimum=low,
        maximum=high,
        description=description,
        default=default,
    )


def choice_field(name: str, choices: tuple[str, ...], description: str, **more: object) -> FieldSpec:
    """Return a choice of words."""
    required = more.get("required") is True
    default = more.get("default")
    return FieldSpec(
        name=name,
        kind="choice",
        choices=choices,
        description=description,
        required=required,
        default=default if isinstance(default, str) else None,
    )


def text_field(name: str, description: str) -> FieldSpec:
    """Return a text."""
    return FieldSpec(name=name, kind="text", description=description)


def speed_field(name: str, description: str) -> FieldSpec:
    """Return a speed in rpm."""
    return number_field(name, "rpm", LEAST, 200_000, description)


def rating_field(name: str, description: str) -> FieldSpec:
    """Return a rating in N, never zero."""
    return number_field(name, "N", LEAST, 1e9, description)


def size_field(name: str, description: str) -> FieldSpec:
    """Return a length in mm, never zero."""
    return number_field(name, "mm", LEAST, 5_000, description)


def force_field(name: str, description: str) -> FieldSpec:
    """Return a force in N, zero allowed."""
    return number_field(name, "N", 0, 1e8, description)


def factor_field(name: str, description: str) -> FieldSpec:
    """Return a factor without a unit."""
    return number_field(name, "1", 1e-9, 1_000, description)


def since_version_2(spec: FieldSpec) -> FieldSpec:
    """Return a field that version 2 of the file brought."""
    return replace(spec, since=2)


def keyed(*specs: FieldSpec) -> dict[str, FieldSpec]:
    """Return fields by their names."""
    return {spec.name: spec for spec in specs}
