"""What could not be checked, and which fields are missing for it.

An unknown never counts as in order: every result that an answer leaves empty has its entry here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.arrangement import DIRECTIONS
from bearings.engineering.checks.fitting import gaps, ring_heights_difference_um
from bearings.engineering.evidence import Evidence
from bearings.engineering.quantities import Bearing
from bearings.engineering.results import LifeRow, NotChecked, params
from bearings.engineering.tables.life_factors import KAPPA_MINIMUM
from bearings.engineering.unchecked_heat import heat_unchecked

SET_FIELDS: Final = ("designation", "contact_angle_deg", "bore_mm", "outside_diameter_mm", "stand_out_um")


def _missing(check: str, fields: list[str], ref: str | None = None) -> NotChecked:
    return NotChecked(check, "missing", params(fields=tuple(fields), ref=ref))


def _sharing(evidence: Evidence) -> Iterator[NotChecked]:
    yield from evidence.unknown_cases
    reasons: dict[str, list[str]] = {}
    for case in evidence.cases:
        if case.not_shared is not None:
            reasons.setdefault(case.not_shared, []).append(case.name)
    for reason, names in reasons.items():
        yield NotChecked("load sharing", reason, params(cases=tuple(names)))
    if evidence.sharing.equal_stiffness and len(evidence.sharing.contacts) > 1:
        refs = tuple(contact.ref for contact in evidence.sharing.contacts)
        yield NotChecked("stiffness", "equal-stiffness-assumed", params(refs=refs))
    if evidence.unloading_unknown is not None:
        yield NotChecked("unloading thrust", evidence.unloading_unknown)
    sprung = tuple(
        ref for ref, one in evidence.mount.one_way if one.on_springs and _springs_left_out(evidence, one)
    )
    if sprung:
        yield NotChecked("springs", "springs-not-in-sharing", params(refs=sprung))
    if any(one.type == "spherical_roller_thrust" for _, one in evidence.mount.one_way):
        loose = tuple(
            ref
            for ref, guide in evidence.mount.guides
            if guide.carries != "none" and guide.end_play_um is None
        )
        if loose:
            yield NotChecked("guide end play", "end-play-unknown", params(refs=loose))


def _springs_left_out(evidence: Evidence, one: Bearing) -> bool:
    """Whether the springs of a bearing work against another bearing of the stack, which the sharing leaves out."""
    return one.type == "angular_contact_ball" or evidence.mount.opposed


def _load_fields(evidence: Evidence, ref: str, one: Bearing) -> list[str]:
    """Fields that the equivalent load of a bearing lacks."""
    fields = []
    if evidence.stack.motor.radial_load_n is None and not ref.startswith("g"):
        fields.append("motor.radial_load_n")
    if one.type == "angular_contact_ball" and one.contact_angle_deg is None:
        fields.append("contact_angle_deg")
    shallow = one.contact_angle_deg is not None and one.contact_angle_deg < 20
    relative = one.type == "deep_groove_ball" or (one.type == "angular_contact_ball" and shallow)
    if relative and one.static_rating_n is None:
        fields.append("static_rating_n")
    return fields


def _kappa_fields(evidence: Evidence, one: Bearing) -> list[str]:
    oil = evidence.stack.lubrication
    fields = [f"lubrication.{name}" for name in ("iso_vg", "temperature_c") if getattr(oil, name) is None]
    return fields if one.pitch_mm is not None else [*fields, "pitch_diameter_mm"]


def _modified(evidence: Evidence, row: LifeRow, one: Bearing) -> NotChecked | None:
    """Why the modified life of a bearing with a known basic life is empty."""
    if row.kappa is not None and row.kappa < KAPPA_MINIMUM:
        return NotChecked("modified life", "kappa-below-method", params(ref=row.ref, kappa=row.kappa))
    fields = _kappa_fields(evidence, one)
    if row.kappa is None and not fields:
        return NotChecked("modified life", "viscosity-outside-table", params(ref=row.ref))
    # With the cleanliness of Annex A given, the factor lacks only what the viscosity ratio lacks.
    if row.contamination_factor is None and evidence.stack.lubrication.cleanliness is None:
        fields.append("lubrication.contamination")
    if one.fatigue_load_limit_n is None and one.static_rating_n is None:
        fields.append("static_rating_n")
    return _missing("modified life", fields, row.ref) if fields else None


def _life_row(evidence: Evidence, row: LifeRow) -> Iterator[NotChecked]:
    one = evidence.bearing[row.ref]
    if one.type == "cylindrical_roller":
        yield NotChecked("life", "no-rule-for-type", params(ref=row.ref))
        return
    fields = _load_fields(evidence, row.ref, one)
    if one.dynamic_rating_n is None:
        fields.append("dynamic_rating_n")
    if row.l10h is None:
        yield _missing("life", fields, row.ref)
    if row.l10mh is None:
        reason = _modified(evidence, row, one)
        yield reason or NotChecked("modified life", "life-not-checked", params(ref=row.ref))
    if row.kappa is None:
        lacking = _kappa_fields(evidence, one)
        if lacking:
            yield _missing("viscosity", lacking, row.ref)
        else:
            yield NotChecked("viscosity", "viscosity-outside-table", params(ref=row.ref))


def running_gap(evidence: Evidence) -> str | None:
    """Return why nothing is known of the running case; None when its loads are known."""
    running = evidence.running
    if running is None:
        return "running-unknown"
    if not running.carried:
        return "running-not-carried"
    return running.not_shared


def _life(evidence: Evidence) -> Iterator[NotChecked]:
    reason = running_gap(evidence)
    if reason is None and not evidence.life.bearings:
        reason = "nothing-loaded"
    if reason is not None:
        for check in ("life", "modified life", "viscosity"):
            yield NotChecked(check, reason)
        if evidence.mount.opposed and reason != "nothing-loaded":
            yield NotChecked("unloaded-in-running", reason)
        return
    for row in evidence.life.bearings:
        yield from _life_row(evidence, row)


def _static(evidence: Evidence) -> Iterator[NotChecked]:
    if not evidence.cases:
        yield NotChecked("static safety", "no-case-known")
    for row in evidence.static:
        one = evidence.bearing[row.ref]
        if one.type == "cylindrical_roller":
            yield NotChecked("static safety", "no-rule-for-type", params(ref=row.ref))
            continue
        fields = []
        if row.equivalent_static_load_n is None:
            fields = [name for name in _load_fields(evidence, row.ref, one) if name != "static_rating_n"]
        if one.static_rating_n is None:
            fields.append("static_rating_n")
        if row.safety is None:
            yield _missing("static safety", fields, row.ref)


def _speed(evidence: Evidence) -> Iterator[NotChecked]:
    motor, method = evidence.stack.motor, evidence.stack.lubrication.method
    for row in evidence.speed.bearings:
        if row.rating_rpm is None:
            fields = ["grease_speed_rpm"] if method == "grease" else ["limiting_speed_rpm", "oil_speed_rpm"]
            if method is None:
                fields.append("lubrication.method")
            yield _missing("speed", fields, row.ref)
    for name in ("synchronous", "maximum"):
        if getattr(motor, f"{name}_speed_rpm") is None:
            yield _missing(f"speed {name}", [f"motor.{name}_speed_rpm"])
    if motor.non_reverse is True:
        return
    if motor.reverse_speed_rpm is None:
        yield _missing("speed reverse", ["motor.reverse_speed_rpm"])
        return
    for row in evidence.speed.bearings:
        if evidence.bearing[row.ref].limiting_speed_rpm is None:
            yield _missing("speed reverse", ["limiting_speed_rpm"], row.ref)


def _minimum_load(evidence: Evidence) -> Iterator[NotChecked]:
    radial_unknown = evidence.stack.motor.radial_load_n is None
    for ref, one in evidence.mount.bearings:
        if one.type == "cylindrical_roller":
            continue
        roller = one.type == "spherical_roller_thrust"
        fields = ["minimum_load_factor_n"] if one.minimum_load_factor_n is None else []
        if roller and radial_unknown:
            fields.append("motor.radial_load_n")
        if fields:
            yield _missing("minimum-load", fields, ref)
        if roller and radial_unknown:
            yield _missing("radial-load-on-thrust-roller", ["motor.radial_load_n"], ref)


def _sets(evidence: Evidence) -> Iterator[NotChecked]:
    for direction in DIRECTIONS:
        pairs = evidence.mount.carriers(direction)
        if len(pairs) < 2:
            continue
        for ref, one in pairs:
            fields = [name for name in SET_FIELDS if getattr(one, name) is None]
            if one.type != "angular_contact_ball":
                fields = [name for name in fields if name not in ("contact_angle_deg", "stand_out_um")]
            if fields:
                yield _missing("set", fields, ref)


def _spacers(evidence: Evidence) -> Iterator[NotChecked]:
    for _, _, parts in gaps(evidence):
        paired = {"inner", "outer"} <= {part.ring for _, part in parts}
        for ref, part in parts:
            unknown = [name for name in ("inner_height_mm", "outer_height_mm") if getattr(part, name) is None]
            if part.ring is None:
                yield _missing("spacer-pair", ["ring"], ref)
            elif part.ring == "both" and (len(unknown) == 1 or (unknown and part.height_mm is None)):
                # One height for both rings says that they are equal; one ring's height alone says nothing.
                yield _missing("spacer-pair", unknown, ref)
        if paired and ring_heights_difference_um(parts) is None:
            yield _missing("spacer-pair", ["height_mm"], parts[0][0])


def all_unchecked(evidence: Evidence) -> tuple[NotChecked, ...]:
    """Return every check that could not be made, and what is missing."""
    return (
        *_sharing(evidence),
        *_life(evidence),
        *_static(evidence),
        *_speed(evidence),
        *heat_unchecked(evidence, running_gap(evidence)),
        *evidence.shared.unknown,
        *_minimum_load(evidence),
        *_sets(evidence),
        *_spacers(evidence),
    )
