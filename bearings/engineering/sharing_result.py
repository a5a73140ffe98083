"""Load sharing beyond the loads of the cases, put together: each part only where it was asked."""

from __future__ import annotations

from typing import NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.duty import DutyResult, duty_of
from bearings.engineering.end_play import Gauge, end_play_asked, end_play_um, gauge_of
from bearings.engineering.growth import GrowthRow, growth_of
from bearings.engineering.mismatch import MismatchRow, mismatch_rows
from bearings.engineering.quantities import Bearing, Stack
from bearings.engineering.results import UNLOADED_BELOW_N, CaseLoads, CaseName, SpeedResult
from bearings.engineering.rising_angle import (
    RisingContact,
    grooves_assumed,
    rising_contacts,
    rising_freeing_thrust,
    rising_loads,
)
from bearings.engineering.sharing import Sharing
from bearings.engineering.springs import SpringRow, spring_rows


class ModelRow(NamedTuple):
    """Load of one bearing in a case by both models.

    ``axial_n`` is that of the constant contact angle, which every other result rests on; ``difference`` is the
    difference over the greater of the two.
    """

    case: CaseName
    ref: str
    axial_n: float
    rising_angle_n: float
    contact_angle_deg: float
    difference: float


class SharingResult(NamedTuple):
    """Everything about load sharing beyond the loads of the cases."""

    assumed_groove_ratios: bool | None
    loads: tuple[ModelRow, ...]
    greatest_difference: float | None
    rising_unloading_thrust_n: float | None
    mismatch: tuple[MismatchRow, ...]
    end_play_um: float | None
    gauge: Gauge | None
    growth: tuple[GrowthRow, ...]
    duty: DutyResult | None
    springs: tuple[SpringRow, ...]


def _shared_alone(mount: Mount) -> bool:
    """Whether angular contact bearings alone share the thrust of the stack."""
    return not mount.both_ways and all(one.type == "angular_contact_ball" for _, one in mount.one_way)


def relative_difference(one: float, other: float) -> float:
    """Return the difference of two loads over the greater; nothing below the load that counts as none."""
    apart = abs(one - other)
    return apart / max(one, other) if apart >= UNLOADED_BELOW_N else 0.0


def _model_rows(
    mount: Mount, contacts: tuple[RisingContact, ...], cases: tuple[CaseLoads, ...]
) -> tuple[ModelRow, ...]:
    rows = []
    for case in cases:
        carriers = mount.carriers("up" if case.net_axial_n < 0 else "down")
        if not case.carried or case.not_shared is not None or not (carriers or case.net_axial_n == 0):
            continue
        first = {row.ref: row.axial_n for row in case.bearings}
        for second in rising_loads(contacts, case.net_axial_n):
            load = first[second.ref]
            if load is not None:
                apart = relative_difference(load, second.axial_n)
                rows.append(ModelRow(case.name, second.ref, load, second.axial_n, second.angle_deg, apart))
    return tuple(rows)


class TwoModels(NamedTuple):
    """The loads of every case by the second model beside the first; whether groove ratios were assumed."""

    contacts: tuple[RisingContact, ...]
    rows: tuple[ModelRow, ...]
    assumed_groove_ratios: bool | None


def two_models(mount: Mount, cases: tuple[CaseLoads, ...]) -> TwoModels:
    """Share the thrust of every case by the second model; nothing where other bearings take part."""
    contacts = rising_contacts(mount) if _shared_alone(mount) else ()
    if not contacts:
        return TwoModels((), (), None)
    assumed = any(grooves_assumed(one) for _, one in mount.one_way)
    return TwoModels(contacts, _model_rows(mount, contacts, cases), assumed)


def assess_sharing(
    stack: Stack,
    mount: Mount,
    sharing: Sharing,
    cases: tuple[CaseLoads, ...],
    speed: SpeedResult,
    viscosity: float | None,
    bearing: dict[str, Bearing],
    models: TwoModels,
) -> SharingResult:
    """Return second model, mismatch, end play, growth, duty and springs of a stack."""
    contacts, loads, assumed = models
    growth = growth_of(stack, mount, sharing)
    asked = end_play_asked(mount)
    return SharingResult(
        assumed_groove_ratios=assumed,
        loads=loads,
        greatest_difference=max((row.difference for row in loads), default=None),
        rising_unloading_thrust_n=rising_freeing_thrust(contacts),
        mismatch=mismatch_rows(mount, cases, growth.changes),
        end_play_um=end_play_um(mount),
        gauge=gauge_of(contacts) if asked else None,
        growth=growth.rows,
        duty=duty_of(stack, mount, sharing, bearing, viscosity),
        springs=spring_rows(stack, mount, cases, speed, viscosity),
    )
