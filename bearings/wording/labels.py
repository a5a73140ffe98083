"""Names of fields, cases, checks and types as people say them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

FIELDS: Final[dict[str, Promise]] = {
    "mounting": gettext_lazy("mounting"),
    "rated_speed_rpm": gettext_lazy("full-load RPM"),
    "synchronous_speed_rpm": gettext_lazy("synchronous speed"),
    "maximum_speed_rpm": gettext_lazy("maximum drive speed"),
    "reverse_speed_rpm": gettext_lazy("reverse speed"),
    "non_reverse": gettext_lazy("non-reverse ratchet"),
    "down_thrust_n": gettext_lazy("downthrust"),
    "maximum_down_thrust_n": gettext_lazy("maximum downthrust"),
    "up_thrust_n": gettext_lazy("upthrust"),
    "rotor_weight_n": gettext_lazy("rotor weight"),
    "radial_load_n": gettext_lazy("radial load"),
    "required_l10h": gettext_lazy("required life"),
    "reliability_percent": gettext_lazy("reliability"),
    "shaft_warmer_k": gettext_lazy("shaft warmer than housing"),
    "fixed_speed": gettext_lazy("supply (line or drive)"),
    "minimum_speed_rpm": gettext_lazy("minimum drive speed"),
    "minimum_speed_down_thrust_n": gettext_lazy("downthrust at minimum drive speed"),
    "maximum_speed_down_thrust_n": gettext_lazy("downthrust at maximum drive speed"),
    "up_thrust_duty": gettext_lazy("upthrust duration"),
    "maximum_thrust_duty": gettext_lazy("maximum-thrust duration"),
    "mount_bore_mm": gettext_lazy("mount bore"),
    "items": gettext_lazy("load sharing in this stack"),
    "duty": gettext_lazy("duty"),
    "share": gettext_lazy("share of run time"),
    "speed_rpm": gettext_lazy("speed"),
    "method": gettext_lazy("lubrication"),
    "iso_vg": gettext_lazy("viscosity grade"),
    "viscosity_index": gettext_lazy("viscosity index"),
    "temperature_c": gettext_lazy("oil temperature"),
    "contamination": gettext_lazy("oil cleanliness level"),
    "contamination_factor": gettext_lazy("contamination factor"),
    "cleanliness": gettext_lazy("oil cleanliness"),
    "ambient_c": gettext_lazy("ambient temperature"),
    "external_heat_w": gettext_lazy("external heat"),
    "oil_flow_l_min": gettext_lazy("oil flow"),
    "oil_rise_k": gettext_lazy("oil temperature rise"),
    "heat_removed_w": gettext_lazy("cooler capacity"),
    "kind": gettext_lazy("kind"),
    "type": gettext_lazy("type"),
    "wide_face": gettext_lazy("wide face"),
    "designation": gettext_lazy("designation"),
    "maker": gettext_lazy("maker"),
    "variant": gettext_lazy("variant"),
    "cage": gettext_lazy("cage"),
    "source": gettext_lazy("source"),
    "serial": gettext_lazy("serial no."),
    "mark": gettext_lazy("mark"),
    "set_id": gettext_lazy("matched set"),
    "bore_mm": gettext_lazy("bore"),
    "outside_diameter_mm": gettext_lazy("outside diameter"),
    "height_mm": gettext_lazy("height"),
    "inner_height_mm": gettext_lazy("inner width"),
    "outer_height_mm": gettext_lazy("outer width"),
    "contact_angle_deg": gettext_lazy("contact angle"),
    "dynamic_rating_n": gettext_lazy("dynamic rating"),
    "static_rating_n": gettext_lazy("static rating"),
    "fatigue_load_limit_n": gettext_lazy("fatigue load limit"),
    "limiting_speed_rpm": gettext_lazy("limiting speed"),
    "reference_speed_rpm": gettext_lazy("reference speed"),
    "oil_speed_rpm": gettext_lazy("oil speed"),
    "grease_speed_rpm": gettext_lazy("grease speed"),
    "minimum_load_factor_n": gettext_lazy("minimum-load factor (A)"),
    "ball_count": gettext_lazy("ball count"),
    "ball_diameter_mm": gettext_lazy("ball diameter"),
    "pitch_diameter_mm": gettext_lazy("pitch diameter, or bore and outside diameter"),
    "pair_preload_n": gettext_lazy("pair preload"),
    "stand_out_um": gettext_lazy("face offset (stickout)"),
    "inner_groove_ratio": gettext_lazy("inner groove radius / ball diameter"),
    "outer_groove_ratio": gettext_lazy("outer groove radius / ball diameter"),
    "fit_interference_um": gettext_lazy("shaft fit (interference)"),
    "pairing": gettext_lazy("pairing"),
    "stand_out_tolerance_um": gettext_lazy("face-offset tolerance"),
    "cage_material": gettext_lazy("cage material"),
    "temperature_limit_c": gettext_lazy("temperature limit"),
    "stabilised_to_c": gettext_lazy("ring stabilization"),
    "spring_force_n": gettext_lazy("spring force"),
    "spring_rate_n_per_mm": gettext_lazy("spring rate"),
    "spring_travel_mm": gettext_lazy("spring travel"),
    "f0r": gettext_lazy("reference friction factor f0r"),
    "f1r": gettext_lazy("reference friction factor f1r"),
    "f0": gettext_lazy("friction factor f0"),
    "f1": gettext_lazy("friction factor f1"),
    "reference_surface_mm2": gettext_lazy("reference surface, or the dimensions it follows from"),
    "shaft_washer_diameter_mm": gettext_lazy("shaft washer OD"),
    "housing_washer_bore_mm": gettext_lazy("housing washer bore"),
    "rating_basis": gettext_lazy("rating basis"),
    "ring": gettext_lazy("ring"),
    "note": gettext_lazy("note"),
    "carries": gettext_lazy("thrust carried"),
    "end_play_um": gettext_lazy("end play"),
    "lubricant": gettext_lazy("lubricant"),
    "guide_temperature_c": gettext_lazy("guide temperature"),
    "distance_mm": gettext_lazy("distance from the stack"),
}
CASES: Final[dict[str, Promise]] = {
    "running": gettext_lazy("running"),
    "uncoupled": gettext_lazy("uncoupled"),
    "up_thrust": gettext_lazy("upthrust"),
    "maximum": gettext_lazy("maximum thrust"),
    "minimum_speed": gettext_lazy("minimum speed"),
    "maximum_speed": gettext_lazy("maximum speed"),
    "reverse": gettext_lazy("backspin"),
}
SPEEDS: Final[dict[str, Promise]] = {
    "rated": gettext_lazy("full-load speed"),
    "synchronous": gettext_lazy("synchronous speed"),
    "maximum": gettext_lazy("maximum speed"),
    "reverse": gettext_lazy("reverse speed"),
}
SUBJECTS: Final[dict[str, Promise]] = {
    "directions": gettext_lazy("Thrust directions"),
    "capacity": gettext_lazy("Static capacity"),
    "life": gettext_lazy("Life"),
    "speed": gettext_lazy("Speed"),
    "set": gettext_lazy("Bearing set"),
    "skidding": gettext_lazy("Skidding"),
    "lubrication": gettext_lazy("Lubrication"),
    "springs": gettext_lazy("Springs"),
    "preload": gettext_lazy("Preload"),
    "heat": gettext_lazy("Heat"),
    "guides": gettext_lazy("Guide bearings"),
    "parts": gettext_lazy("Parts"),
    "entries": gettext_lazy("Entries"),
}

CHOICES: Final[dict[str, Promise]] = {
    "up": gettext_lazy("up"),
    "down": gettext_lazy("down"),
    "vertical": gettext_lazy("vertical"),
    "horizontal": gettext_lazy("horizontal"),
    "printed": gettext_lazy("published"),
    "geometry": gettext_lazy("estimated from measured balls or rollers"),
    "none": gettext_lazy("none"),
    "both": gettext_lazy("both"),
    "inner": gettext_lazy("inner ring"),
    "outer": gettext_lazy("outer ring"),
    "angular_contact_ball": gettext_lazy("angular contact ball bearing"),
    "deep_groove_ball": gettext_lazy("deep groove ball bearing"),
    "spherical_roller_thrust": gettext_lazy("spherical roller thrust bearing"),
    "cylindrical_roller": gettext_lazy("cylindrical roller bearing"),
    "single": gettext_lazy("single: not for use in a set"),
    "universal": gettext_lazy("universal: any two pair up"),
    "matched": gettext_lazy("matched: belongs to one set"),
    "brass": gettext_lazy("brass"),
    "steel": gettext_lazy("steel"),
    "polyamide": gettext_lazy("polyamide"),
    "phenolic": gettext_lazy("phenolic resin"),
    "peek": gettext_lazy("PEEK"),
    "momentary": gettext_lazy("momentary"),
    "continuous": gettext_lazy("continuous"),
    "oil_bath": gettext_lazy("oil bath"),
    "oil_circulating": gettext_lazy("circulating oil"),
    "oil_jet": gettext_lazy("oil jet"),
    "extreme_cleanliness": gettext_lazy("extreme (laboratory)"),
    "high_cleanliness": gettext_lazy("high (extra-fine filter)"),
    "normal_cleanliness": gettext_lazy("normal (fine filter)"),
    "slight_contamination": gettext_lazy("slight contamination"),
    "typical_contamination": gettext_lazy("typical, no fine filter"),
    "severe_contamination": gettext_lazy("severe contamination"),
    "very_severe_contamination": gettext_lazy("very severe contamination"),
    "circulating_13_10": gettext_lazy("circulating, filter on line, −/13/10"),
    "circulating_15_12": gettext_lazy("circulating, filter on line, −/15/12"),
    "circulating_17_14": gettext_lazy("circulating, filter on line, −/17/14"),
    "circulating_19_16": gettext_lazy("circulating, filter on line, −/19/16"),
    "bath_13_10": gettext_lazy("oil bath, −/13/10"),
    "bath_15_12": gettext_lazy("oil bath, −/15/12"),
    "bath_17_14": gettext_lazy("oil bath, −/17/14"),
    "bath_19_16": gettext_lazy("oil bath, −/19/16"),
    "bath_21_18": gettext_lazy("oil bath, −/21/18"),
    "grease_high_cleanliness": gettext_lazy("grease, high cleanliness"),
    "grease_normal_cleanliness": gettext_lazy("grease, normal cleanliness"),
    "grease_slight_contamination": gettext_lazy("grease, slight contamination"),
    "grease_severe_contamination": gettext_lazy("grease, severe contamination"),
    "grease_very_severe_contamination": gettext_lazy("grease, very severe contamination"),
    "other": gettext_lazy("other"),
    "oil": gettext_lazy("oil"),
    "grease": gettext_lazy("grease"),
}


def choice_label(choice: str) -> str:
    """Return a choice of the stack file as people say it; any other text as it is."""
    return str(CHOICES.get(choice, choice))


def field_label(name: str) -> str:
    """Return the name of a field as people say it; a path is named by its last part."""
    return str(FIELDS[name.rpartition(".")[2]])


def field_labels(names: Iterable[str]) -> str:
    """Return several fields' names in one enumeration."""
    return enumeration([field_label(name) for name in names])


def case_label(name: str | None) -> str:
    """Return the name of a load case."""
    return str(CASES[name]) if name in CASES else ""


def speed_label(name: str) -> str:
    """Return the name of a motor speed."""
    return str(SPEEDS[name])


def subject_label(subject: str) -> str:
    """Return the name of a subject."""
    return str(SUBJECTS[subject])


def enumeration(words: list[str]) -> str:
    """Return words as a list in a sentence."""
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def part_label(refs: Iterable[str]) -> str:
    """Return bearings, guides or other parts by their refs: bearing 1, bearings 1 and 2, part a, guide g1."""
    named = [str(ref) for ref in refs]
    if named and named[0].isalpha():
        one, many = _("part %(refs)s"), _("parts %(refs)s")
    elif named and named[0].startswith("g"):
        one, many = _("guide %(refs)s"), _("guides %(refs)s")
    else:
        one, many = _("bearing %(refs)s"), _("bearings %(refs)s")
    return (one if len(named) == 1 else many) % {"refs": enumeration(_in_runs(named))}


# From so many on, neighbors are told by the first and the last: bearings 1-8.
SHORTEST_RUN: Final = 4


def _in_runs(refs: list[str]) -> list[str]:
    """Return refs with each long run of neighboring numbers as one."""
    runs: list[list[str]] = []
    for ref in refs:
        if runs and ref.isdecimal() and runs[-1][-1].isdecimal() and int(ref) == int(runs[-1][-1]) + 1:
            runs[-1].append(ref)
        else:
            runs.append([ref])
    return [one for run in runs for one in ([f"{run[0]}-{run[-1]}"] if len(run) >= SHORTEST_RUN else run)]
