"""What each column of a rating file holds, in words for those who fill one in."""

from __future__ import annotations

from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

# By field; every column has one. The stack file's own descriptions are a contract and stay English.
CONTENTS: Final[dict[str, Promise]] = {
    "designation": _("designation without the maker's name"),
    "variant": _("maker's variant: internal design, cage, clearance"),
    "cage": _("cage as the maker names it"),
    "type": _("bearing type, by its code"),
    "bore_mm": _("bore"),
    "outside_diameter_mm": _("outside diameter, larger than the bore"),
    "height_mm": _("height; width of a radial bearing"),
    "contact_angle_deg": _("nominal contact angle; 15 to 45° for angular contact bearings"),
    "dynamic_rating_n": _("basic dynamic load rating C"),
    "static_rating_n": _("basic static load rating C0"),
    "fatigue_load_limit_n": _("fatigue load limit Cu"),
    "minimum_load_factor_n": _("maker's minimum-load factor A"),
    "limiting_speed_rpm": _("limiting speed, as printed"),
    "reference_speed_rpm": _("reference speed, as printed"),
    "oil_speed_rpm": _("speed rating with oil, as printed"),
    "grease_speed_rpm": _("speed rating with grease, as printed"),
    "ball_count": _("balls in the row"),
    "ball_diameter_mm": _("ball diameter"),
    "pitch_diameter_mm": _("ball pitch diameter; if empty, the mean of bore and outside diameter"),
    "pair_preload_n": _("preload of a pair"),
    "cage_material": _("cage material"),
    "temperature_limit_c": _("maximum operating temperature, as printed"),
    "stabilised_to_c": _("temperature the rings are stabilized to"),
    "f0r": _("reference friction factor f0r"),
    "f1r": _("reference friction factor f1r"),
    "f0": _("friction factor f0, as lubricated"),
    "f1": _("friction factor f1, as loaded"),
    "reference_surface_mm2": _("heat-emitting reference surface"),
    "speed_meaning": _("kind of speed that the source prints"),
    "note": _("note"),
}
