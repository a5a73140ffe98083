"""What becomes of a verdict while a field is unknown: every field stands in exactly one of these lists."""

from __future__ import annotations

from typing import Final, Literal

# What becomes of a verdict while a field is unknown: it is judged over a published range, or not proven where the
# field is asked for, or another field does as well, or a published default stands, or nothing hangs on it.
WhenUnknown = Literal["ranged", "needed", "alternative", "assumed", "exempt"]
# Limits and set factors of the shop: demands, not data.
LIMITS: Final = (
    "minimum_speed_margin", "stop_l10h", "warn_l10h", "minimum_static_safety_ball",
    "minimum_static_safety_spherical_roller_thrust", "tandem_stand_out_um", "spacer_pair_um", "unloaded_warn_ndm",
    "assumed_shaft_warmer_k", "assumed_temperature_c", "warm_preload_share", "gauge_force_n", "single",
    "tandem_pair", "tandem_many", "opposed_pair", "opposed_single_side", "opposed_many", "spring",
)  # fmt: skip
RANGED: Final = (
    "rotor_weight_n", "radial_load_n", "up_thrust_n", "maximum_down_thrust_n", "synchronous_speed_rpm",
    "fixed_speed", "minimum_speed_rpm", "maximum_speed_rpm", "non_reverse", "reverse_speed_rpm",
    "up_thrust_duty", "maximum_thrust_duty", "method", "shaft_warmer_k", "temperature_c", "viscosity_index",
    "ambient_c", "external_heat_w", "fit_interference_um", "mount_bore_mm", "pair_preload_n", "stand_out_um",
    "minimum_load_factor_n", "fatigue_load_limit_n", "cage_material", "stabilised_to_c", "end_play_um",
)  # fmt: skip
NEEDED: Final = (
    "wide_face", "dynamic_rating_n", "static_rating_n", "contact_angle_deg", "bore_mm", "outside_diameter_mm",
    "height_mm", "inner_height_mm", "outer_height_mm", "ring", "designation", "maker", "variant", "pairing",
    "set_id", "iso_vg", "down_thrust_n", "spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm",
    "grease_speed_rpm", "rated_speed_rpm", "share", "speed_rpm",
)  # fmt: skip
ALTERNATIVE: Final = (
    "limiting_speed_rpm", "oil_speed_rpm", "reference_speed_rpm", "contamination_factor", "contamination",
    "cleanliness", "heat_removed_w", "oil_flow_l_min", "oil_rise_k", "temperature_limit_c",
)  # fmt: skip
ASSUMED: Final = (
    "mounting", "carries", "pitch_diameter_mm", "inner_groove_ratio", "outer_groove_ratio", "ball_count",
    "ball_diameter_mm", "f0", "f1", "f0r", "f1r", "reference_surface_mm2", "shaft_washer_diameter_mm",
    "housing_washer_bore_mm", "stand_out_tolerance_um", "lubricant",
)  # fmt: skip
EXEMPT: Final = (
    "required_l10h", "reliability_percent", "duty", "minimum_speed_down_thrust_n", "maximum_speed_down_thrust_n",
    # A note rests on the distance; a guide in the range of an oil's temperature (55 to 85 degC) is hot for no cage.
    "guide_temperature_c", "distance_mm",
    "rating_basis", "cage", "source", "serial", "mark", "note", "kind", "type", *LIMITS,
)  # fmt: skip
KIND_OF: Final[dict[str, WhenUnknown]] = {
    **dict.fromkeys(RANGED, "ranged"),
    **dict.fromkeys(NEEDED, "needed"),
    **dict.fromkeys(ALTERNATIVE, "alternative"),
    **dict.fromkeys(ASSUMED, "assumed"),
    **dict.fromkeys(EXEMPT, "exempt"),
}
