"""What is missing for friction, heat balance and reference speeds."""

from __future__ import annotations

from collections.abc import Iterator

from bearings.engineering.evidence import Evidence
from bearings.engineering.quantities import Bearing
from bearings.engineering.results import NotChecked, params
from bearings.engineering.thermal import default_f0, reference_surface


def _friction_fields(evidence: Evidence, ref: str, one: Bearing) -> list[str]:
    """Fields that the friction of a bearing lacks in a running case whose loads are known."""
    stack = evidence.stack
    oil = stack.lubrication
    fields = [f"lubrication.{name}" for name in ("iso_vg", "temperature_c") if getattr(oil, name) is None]
    if ref in evidence.loaded["running"] and stack.motor.radial_load_n is None:
        fields.append("motor.radial_load_n")
    if one.pitch_mm is None:
        fields.append("pitch_diameter_mm")
    if one.f0 is None and default_f0(one, oil.method, stack.motor.mounting) is None:
        fields.append("lubrication.method" if oil.method is None else "f0")
    if one.type == "angular_contact_ball" and one.contact_angle_deg is None:
        fields.append("contact_angle_deg")
    if one.f1 is None and one.type.endswith("ball") and one.static_rating_n is None:
        fields.append("static_rating_n")
    return fields


def _reference_fields(one: Bearing) -> list[str]:
    """Fields that the computed reference speed of a bearing lacks."""
    fields = [name for name in ("f0r", "f1r", "static_rating_n") if getattr(one, name) is None]
    if one.pitch_mm is None:
        fields.append("pitch_diameter_mm")
    if reference_surface(one) is None:
        fields.append("reference_surface_mm2")
    return fields


def _friction(evidence: Evidence, running_gap: str | None) -> Iterator[NotChecked]:
    if running_gap is not None:
        yield NotChecked("friction", running_gap)
        return
    for row in evidence.thermal.bearings:
        if row.friction_w is not None:
            continue
        fields = _friction_fields(evidence, row.ref, evidence.bearing[row.ref])
        if fields:
            yield NotChecked("friction", "missing", params(fields=tuple(fields), ref=row.ref))
        elif evidence.viscosity is None:
            yield NotChecked("friction", "viscosity-outside-table", params(ref=row.ref))


def _cooling(evidence: Evidence) -> Iterator[NotChecked]:
    """Yield what an estimate of the cooling lacks, where somebody began to give it."""
    oil, cooling = evidence.stack.lubrication, evidence.thermal.cooling
    flow, rise = oil.oil_flow_l_min, oil.oil_rise_k
    begun = oil.ambient_c is not None or flow is not None or rise is not None
    if not begun or cooling.basis is not None:
        return
    if cooling.oil_w is None and (flow is not None or rise is not None or oil.method != "oil_bath"):
        names = [name for name in ("oil_flow_l_min", "oil_rise_k") if getattr(oil, name) is None]
        fields = tuple(f"lubrication.{name}" for name in names)
        yield NotChecked("oil cooling", "missing", params(fields=fields, ref=None))
    names = [name for name in ("temperature_c", "ambient_c") if getattr(oil, name) is None]
    if names:
        fields = tuple(f"lubrication.{name}" for name in names)
        yield NotChecked("seat cooling", "missing", params(fields=fields, ref=None))
    for row in evidence.thermal.bearings:
        if row.surface_mm2 is None:
            fields = ("reference_surface_mm2",)
            yield NotChecked("seat cooling", "missing", params(fields=fields, ref=row.ref))


def heat_unchecked(evidence: Evidence, running_gap: str | None) -> Iterator[NotChecked]:
    """Yield what is missing for the heat of a stack; ``running_gap`` says why its loads are unknown."""
    thermal = evidence.thermal
    yield from _friction(evidence, running_gap)
    if thermal.heat_removed_w is None:
        reason = params(fields=("lubrication.heat_removed_w",), ref=None)
        yield NotChecked("heat removed", "missing", reason)
        yield NotChecked("thermal permissible speed", "missing", reason)
        yield from _cooling(evidence)
    elif thermal.permissible_rpm is None:
        yield NotChecked("thermal permissible speed", "friction-unknown")
    for row in thermal.bearings:
        if row.reference_speed_rpm is None:
            fields = tuple(_reference_fields(evidence.bearing[row.ref]))
            yield NotChecked("computed reference speed", "missing", params(fields=fields, ref=row.ref))
    unprinted = tuple(
        row.ref for row in evidence.speed.bearings if evidence.bearing[row.ref].reference_speed_rpm is None
    )
    if unprinted:
        yield NotChecked("reference-speed", "no-printed-reference-speed", params(refs=unprinted))
