"""The headline in words, and what to enter so that a verdict can be reached."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.engineering.results import Finding
from bearings.wording.figures import Units
from bearings.wording.findings import finding_sentence
from bearings.wording.labels import enumeration, field_label, part_label, subject_label

VERDICTS: Final[dict[str, Promise]] = {
    "ok": gettext_lazy("OK"),
    "warn": gettext_lazy("WARN"),
    "stop": gettext_lazy("STOP"),
    "not_proven": gettext_lazy("NOT PROVEN"),
}
# What a field asks of the person at the bench or in the office.
ASKS: Final[dict[str, Promise]] = {
    "motor.rated_speed_rpm": gettext_lazy("What is the full-load RPM on the nameplate?"),
    "motor.fixed_speed": gettext_lazy("Does the motor run across the line or on a drive?"),
    "motor.minimum_speed_rpm": gettext_lazy("What is the lowest speed of the drive?"),
    "motor.maximum_speed_rpm": gettext_lazy("What is the highest speed of the drive?"),
    "motor.non_reverse": gettext_lazy("Does the motor have a non-reverse ratchet?"),
    "motor.reverse_speed_rpm": gettext_lazy("How fast can the pump spin the motor backward?"),
    "motor.synchronous_speed_rpm": gettext_lazy("What is the synchronous speed?"),
    "motor.down_thrust_n": gettext_lazy("What is the pump's continuous downthrust?"),
    "motor.maximum_down_thrust_n": gettext_lazy("What is the maximum downthrust (at shutoff)?"),
    "motor.up_thrust_n": gettext_lazy("What is the pump's momentary upthrust?"),
    "motor.rotor_weight_n": gettext_lazy("What does the rotor weigh?"),
    "motor.radial_load_n": gettext_lazy("What is the radial load on this stack?"),
    "motor.up_thrust_duty": gettext_lazy("Is the upthrust momentary (starting) or continuous?"),
    "motor.maximum_thrust_duty": gettext_lazy("Is the maximum thrust momentary or continuous?"),
    "motor.shaft_warmer_k": gettext_lazy("How much warmer than the housing does the shaft run?"),
    "motor.mount_bore_mm": gettext_lazy("Is the mount solid, or what is the bore through it?"),
    "lubrication.method": gettext_lazy("Oil bath, circulating oil, oil jet or grease?"),
    "lubrication.iso_vg": gettext_lazy("What is the oil's ISO VG grade?"),
    "lubrication.temperature_c": gettext_lazy("How hot does the oil run?"),
    "lubrication.viscosity_index": gettext_lazy("What is the oil's viscosity index?"),
    "lubrication.contamination": gettext_lazy("How clean is the oil?"),
    "lubrication.ambient_c": gettext_lazy("What is the ambient temperature?"),
    "lubrication.external_heat_w": gettext_lazy("How much heat reaches the oil from outside?"),
    "lubrication.heat_removed_w": gettext_lazy("What is the capacity of the oil cooler?"),
    "wide_face": gettext_lazy("Which way does the wide face point, up or down?"),
    "pairing": gettext_lazy("Universal, matched or single?"),
    "set_id": gettext_lazy("Which matched set is it from?"),
    "stand_out_um": gettext_lazy("Measure the face offset (stickout)."),
    "variant": gettext_lazy("What variant is marked on the ring? Enter none if there is no mark."),
    "maker": gettext_lazy("Who made it?"),
    "designation": gettext_lazy("What bearing number is marked on the ring?"),
    "cage_material": gettext_lazy("What is the cage made of?"),
    "fit_interference_um": gettext_lazy("What is the shaft fit? Measure bore and shaft."),
    "pair_preload_n": gettext_lazy("What is the pair preload?"),
    "minimum_load_factor_n": gettext_lazy("Look up the minimum-load factor (A)."),
    "limiting_speed_rpm": gettext_lazy("Look up the limiting speed or oil speed."),
    "grease_speed_rpm": gettext_lazy("Look up the grease speed."),
    "reference_speed_rpm": gettext_lazy("Look up the reference speed, or enter the oil cooling."),
    "end_play_um": gettext_lazy("What is the end play of the guide bearing?"),
    "items": gettext_lazy("Load sharing in this stack is not modeled. Ask the maker or an engineer."),
}


def verdict_label(verdict: str) -> str:
    """Return the verdict as everybody reads it: OK, WARN, STOP, NOT PROVEN."""
    return str(VERDICTS[verdict])


def asks_sentence(field: str, refs: Iterable[str | None], also: Sequence[str] = ()) -> str:
    """Return what to enter, with the parts it is asked of; ``also`` are fields that the same look-up answers."""
    named = [ref for ref in refs if ref is not None]
    if also:
        fields = enumeration([field_label(one) for one in (field, *also)])
        text = _("Look up %(fields)s in the catalog.") % {"fields": fields}
    else:
        text = _asked_alone(field)
    if not named:
        return text
    part = part_label(named)
    return _("%(part)s: %(text)s") % {"part": part[:1].upper() + part[1:], "text": text}


def _asked_alone(field: str) -> str:
    return str(ASKS[field]) if field in ASKS else _("Enter the %(field)s.") % {"field": field_label(field)}


def headline_sentence(
    verdict: str, because: Iterable[str], findings: Iterable[Finding], units: Units = "si"
) -> str:
    """Return the one line that a reader acts on, of a live answer and of a stored one alike."""
    subjects = enumeration([subject_label(one) for one in because])
    if verdict == "ok":
        return _("OK. Every check is within its limits.")
    if verdict == "not_proven":
        return _("NOT PROVEN. Open: %(subjects)s.") % {"subjects": subjects}
    first = next((one for one in findings if one.severity == verdict), None)
    if first is not None:
        words = {"verdict": verdict_label(verdict), "first": finding_sentence(first, units)}
        return _("%(verdict)s. %(first)s") % words
    return _("%(verdict)s. Open: %(subjects)s.") % {
        "verdict": verdict_label(verdict),
        "subjects": subjects,
    }
