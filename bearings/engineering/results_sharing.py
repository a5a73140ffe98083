"""Rows of the load-sharing block of an answer: second model, mismatch, end play, growth, duty, springs."""

from __future__ import annotations

from typing import NamedTuple

from bearings.engineering.results import CaseName, Relation


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


class MismatchRow(NamedTuple):
    """Two tandem neighbours: what they carry together in a case, and how sensitive the sharing is.

    ``carries_all_um`` is the difference of stand-out at which one of them carries all of that load, by the first
    model; ``rising_carries_all_um`` by the second. ``growth_difference_um`` is what a warmer shaft or unequal
    fits add to the difference; minus narrows it.
    """

    refs: tuple[str, str]
    case: CaseName
    load_n: float
    stand_out_difference_um: float | None
    growth_difference_um: float | None
    heavier_share: float | None
    carries_all_um: float | None
    rising_carries_all_um: float | None


class Gauge(NamedTuple):
    """What a gauge on the shaft reads when it is pulled and pushed with this force, its weight taken off."""

    force_n: float
    reading_um: float


class GrowthRow(NamedTuple):
    """Two opposed neighbours when the shaft is warmer than the housing and the inner rings are fitted tight.

    Micrometres of overlap, positive is more preload. ``preload_n`` is what the opposed sides press against each
    other without thrust, before; ``end_play_um`` is that of the stack afterwards, negative is preloaded.
    """

    refs: tuple[str, str]
    relation: Relation
    distance_mm: float | None
    thermal_um: float | None
    fit_um: float | None
    preload_n: float | None
    preload_change_n: float | None
    end_play_um: float | None


class DutyRow(NamedTuple):
    """One part of a duty: its net load, the stack's life if it ran so always, and its share of the wear."""

    share: float
    speed_rpm: float
    down_thrust_n: float
    net_axial_n: float | None
    carried: bool | None
    stack_l10h: float | None
    stack_l10mh: float | None
    damage_share: float | None


class DutyBearing(NamedTuple):
    """Life of one bearing over the whole duty, and the equivalent load that gives the same life."""

    ref: str
    equivalent_load_n: float | None
    l10h: float | None
    l10mh: float | None


class DutyResult(NamedTuple):
    """Life over several loads and speeds; None where a part of the duty is not known."""

    stack_l10h: float | None
    stack_l10mh: float | None
    mean_speed_rpm: float
    bearings: tuple[DutyBearing, ...]
    rows: tuple[DutyRow, ...]


class SpringCase(NamedTuple):
    """Springs in one case: what the washer pair and the guides carry, how far the springs are pressed."""

    case: CaseName
    axial_n: float | None
    guide_n: float | None
    compression_mm: float | None
    solid: bool | None


class SpringGuide(NamedTuple):
    """A guide that holds a sprung bearing: its worst case, and its life if it ran so at rated speed."""

    ref: str
    case: CaseName
    axial_n: float
    l10h: float | None
    permissible_rpm: float | None


class SpringRow(NamedTuple):
    """A spherical roller thrust bearing whose ring rests on springs.

    ``compression_mm`` of its cases counts from the installed height; from ``solid_from_n`` of thrust on the springs
    are solid. ``minimum_load_n`` is what the rollers need at rated speed, where the maker's factor is known.
    """

    ref: str
    guides: tuple[str, ...]
    force_n: float | None
    rate_n_per_mm: float | None
    travel_mm: float | None
    solid_from_n: float | None
    minimum_load_n: float | None
    cases: tuple[SpringCase, ...]
    held: tuple[SpringGuide, ...]


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
