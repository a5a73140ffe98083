"""Every field of the stack file with its unit, range and choices: the one table that the reader, the
published schema and the web forms are made from."""

from __future__ import annotations

from typing import Final

from bearings.engineering.tables.contamination import CLEANLINESS
from bearings.engineering.tables.life_factors import CONTAMINATION
from bearings.stack_file.specs import (
    LEAST,
    MOST_DUTY_POINTS,
    FieldSpec,
    Room,
    choice_field,
    factor_field,
    force_field,
    keyed,
    number_field,
    rating_field,
    since_version_2,
    size_field,
    speed_field,
    text_field,
)

DUTY_POINT: Final = keyed(
    *(
        FieldSpec(
            name=name,
            kind="number",
            unit=unit,
            minimum=low,
            maximum=high,
            description=words,
            required=True,
        )
        for name, unit, low, high, words in (
            ("share", "1", 0.0, 1.0, "share of the running time; the shares of a duty add up to 1"),
            ("speed_rpm", "rpm", LEAST, 200_000.0, "speed of this part of the duty"),
            ("down_thrust_n", "N", -1e8, 1e8, "external thrust, down positive, without the rotor"),
        )
    )
)
MOTOR: Final = keyed(
    choice_field("mounting", ("vertical", "horizontal"), "how the shaft stands", default="vertical"),
    FieldSpec(
        name="rated_speed_rpm",
        kind="number",
        unit="rpm",
        minimum=LEAST,
        maximum=200_000,
        description="speed at rated load",
        required=True,
    ),
    speed_field("synchronous_speed_rpm", "speed without slip"),
    speed_field("maximum_speed_rpm", "highest speed that the drive allows"),
    speed_field("reverse_speed_rpm", "speed when the driven machine turns the motor backwards"),
    FieldSpec(name="non_reverse", kind="boolean", description="a ratchet prevents backspin"),
    number_field(
        "down_thrust_n", "N", -1e8, 1e8, "continuous external thrust, down positive, without the rotor"
    ),
    number_field("maximum_down_thrust_n", "N", -1e8, 1e8, "greatest external down thrust, without the rotor"),
    force_field("up_thrust_n", "momentary external up thrust"),
    force_field("rotor_weight_n", "weight of the rotor and what hangs on it"),
    force_field("radial_load_n", "radial load on this stack"),
    number_field("required_l10h", "h", LEAST, 1e8, "life that contract or customer asks for"),
    number_field("reliability_percent", "%", 90, 99.95, "reliability that a life is also stated for", 90),
    number_field("shaft_warmer_k", "K", -100, 150, "shaft and inner rings warmer than the housing"),
    FieldSpec(
        name="fixed_speed",
        kind="boolean",
        description="the motor runs across the line, not on a drive",
        since=2,
    ),
    since_version_2(
        speed_field("minimum_speed_rpm", "lowest speed at which the drive runs the motor for long")
    ),
    since_version_2(
        number_field(
            "minimum_speed_down_thrust_n", "N", -1e8, 1e8, "external down thrust at the drive's lowest speed"
        )
    ),
    since_version_2(
        number_field(
            "maximum_speed_down_thrust_n", "N", -1e8, 1e8, "external down thrust at the drive's highest speed"
        )
    ),
    since_version_2(
        choice_field("up_thrust_duty", ("momentary", "continuous"), "how long the up thrust lasts")
    ),
    since_version_2(
        choice_field("maximum_thrust_duty", ("momentary", "continuous"), "how long the greatest thrust lasts")
    ),
    since_version_2(
        number_field(
            "mount_bore_mm",
            "mm",
            0,
            5_000,
            "bore of the mount or shaft under the inner rings; 0 where it is solid",
        )
    ),
    FieldSpec(
        name="duty",
        kind="list",
        maximum=MOST_DUTY_POINTS,
        description="parts of the running time, each with its share, speed and thrust; the shares add up to 1",
    ),
)
LUBRICATION: Final = keyed(
    choice_field(
        "method", ("oil_bath", "oil_circulating", "oil_jet", "grease"), "how the stack is lubricated"
    ),
    number_field(
        "iso_vg", "mm2/s", 2, 3_200, "ISO 3448 viscosity grade of the oil or of the grease's base oil"
    ),
    number_field("viscosity_index", "1", 0, 400, "viscosity index of the oil", 95),
    number_field("temperature_c", "degC", -40, 250, "operating temperature of the oil"),
    choice_field("contamination", tuple(CONTAMINATION), "cleanliness level of ISO 281"),
    number_field("contamination_factor", "1", 0, 1, "contamination factor eC; it replaces the level"),
    choice_field(
        "cleanliness",
        tuple(CLEANLINESS),
        "cleanliness by ISO 281 Annex A: how the oil is kept clean and its ISO 4406 code, or the grease; used "
        "where no level and no factor are given, and stated beside a level",
    ),
    number_field("ambient_c", "degC", -40, 150, "temperature of what surrounds the mount"),
    number_field("external_heat_w", "W", 0, 1e6, "heat that reaches the stack from rotor and surroundings"),
    number_field(
        "oil_flow_l_min", "l/min", 0, 1e5, "flow of circulating oil, counted as cooling with its rise"
    ),
    number_field("oil_rise_k", "K", 0, 200, "temperature rise of the circulating oil through the stack"),
    number_field(
        "heat_removed_w",
        "W",
        0,
        1e8,
        "heat that seats, oil and coil together take from the whole stack at temperature_c",
    ),
)
SET_FACTORS: Final = keyed(
    *(
        FieldSpec(
            name=name,
            kind="number",
            unit="1",
            minimum=0.01,
            maximum=2,
            description=f"speed factor of {words} (common practice, no source)",
            default=default,
        )
        for name, default, words in (
            ("single", 1.0, "a single bearing"),
            ("tandem_pair", 0.90, "a tandem pair"),
            ("tandem_many", 0.80, "a tandem of three or more"),
            ("opposed_pair", 0.80, "an opposed pair"),
            (
                "opposed_single_side",
                0.70,
                "an opposed set of three or more with a single bearing on one side",
            ),
            ("opposed_many", 0.75, "any other opposed set"),
            ("spring", 1.0, "a bearing that rests on springs"),
        )
    )
)
POLICY: Final = keyed(
    number_field("minimum_speed_margin", "1", 0, 10, "least margin of the permissible speed", 0.10),
    number_field("stop_l10h", "h", 0, 1e8, "stack life below which a stack is stopped", 8_800),
    number_field("warn_l10h", "h", 0, 1e8, "stack life below which it is warned of", 40_000),
    number_field("minimum_static_safety_ball", "1", 0, 1_000, "least static safety of ball bearings", 1.0),
    number_field(
        "minimum_static_safety_spherical_roller_thrust",
        "1",
        0,
        1_000,
        "least static safety of spherical roller thrust bearings",
        4.0,
    ),
    number_field("tandem_stand_out_um", "um", 0, 10_000, "greatest difference of stand-out in a tandem", 3),
    number_field(
        "spacer_pair_um", "um", 0, 10_000, "greatest difference of inner and outer spacer height", 5
    ),
    number_field(
        "unloaded_warn_ndm",
        "mm/min",
        0,
        1e9,
        "speed times pitch diameter that an unloaded bearing may run at",
        400_000,
    ),
    since_version_2(
        number_field(
            "assumed_shaft_warmer_k",
            "K",
            -100,
            150,
            "how much warmer than the housing this shop takes shaft and inner rings to be where nobody measured it",
        )
    ),
    since_version_2(
        number_field(
            "assumed_temperature_c",
            "degC",
            -40,
            250,
            "oil temperature that this shop takes where nobody measured it",
        )
    ),
    since_version_2(
        number_field(
            "warm_preload_share",
            "1",
            0,
            1,
            "share of C that the preload of a warm set may reach (common practice, no source)",
            0.10,
        )
    ),
    since_version_2(
        number_field(
            "gauge_force_n",
            "N",
            1,
            1e6,
            "pull and push at an end play check (common practice, no source)",
            500,
        )
    ),
)
BEARING_TYPES: Final = (
    "angular_contact_ball",
    "deep_groove_ball",
    "spherical_roller_thrust",
    "cylindrical_roller",
)
PART_KINDS: Final = (
    "spacer",
    "shim",
    "snap_ring",
    "lock_nut",
    "lock_washer",
    "shoulder",
    "spring_pack",
    "slinger",
)
KIND: Final = choice_field("kind", ("bearing", *PART_KINDS), "what the item is", required=True)
BEARING: Final = keyed(
    choice_field("type", BEARING_TYPES, "type of bearing", required=True),
    choice_field(
        "wide_face",
        ("up", "down"),
        "the way the outer ring's wide (back) face looks; for a spherical roller thrust bearing the side of "
        "the housing washer; required for these two types, refused for the others",
    ),
    text_field("designation", "designation without maker"),
    text_field("maker", "maker"),
    text_field("variant", "variant of the maker: inside, cage, clearance"),
    text_field("cage", "cage"),
    text_field("source", "where the figures come from"),
    text_field("serial", "serial number"),
    text_field("mark", "mark on the ring"),
    text_field("set_id", "matched set that the bearing belongs to"),
    size_field("bore_mm", "bore diameter"),
    size_field("outside_diameter_mm", "outside diameter, above the bore"),
    size_field("height_mm", "height, or width of a radial bearing"),
    number_field(
        "contact_angle_deg", "deg", 0, 90, "nominal contact angle; angular contact bearings 15 to 45 degrees"
    ),
    rating_field("dynamic_rating_n", "basic dynamic load rating C"),
    rating_field("static_rating_n", "basic static load rating C0"),
    rating_field("fatigue_load_limit_n", "fatigue load limit Cu"),
    speed_field("limiting_speed_rpm", "printed limiting (mechanical) speed"),
    speed_field("reference_speed_rpm", "printed thermal reference speed"),
    speed_field("oil_speed_rpm", "printed speed for oil"),
    speed_field("grease_speed_rpm", "printed speed for grease"),
    force_field("minimum_load_factor_n", "the maker's minimum load factor A"),
    FieldSpec(
        name="ball_count",
        kind="integer",
        unit="1",
        minimum=1,
        maximum=1_000,
        description="balls in the row",
    ),
    size_field("ball_diameter_mm", "ball diameter"),
    size_field("pitch_diameter_mm", "pitch diameter; the mean of bore and outside diameter when absent"),
    force_field("pair_preload_n", "preload of a pair of these"),
    number_field(
        "stand_out_um", "um", -10_000, 10_000, "stand-out; positive takes load first, negative is clearance"
    ),
    number_field(
        "inner_groove_ratio",
        "1",
        0.505,
        0.6,
        "radius of the inner ring's groove over the ball diameter; 0.52 is assumed when absent",
    ),
    number_field(
        "outer_groove_ratio",
        "1",
        0.505,
        0.6,
        "radius of the outer ring's groove over the ball diameter; 0.53 is assumed when absent",
    ),
    number_field(
        "fit_interference_um",
        "um",
        -1_000,
        1_000,
        "effective interference of the inner ring's bore on the shaft, in diameter, as mounted; negative is loose",
    ),
    since_version_2(
        choice_field(
            "pairing",
            ("single", "universal", "matched"),
            "how the bearing is made to be paired: not at all, with any like it, or within its set",
        )
    ),
    since_version_2(number_field("stand_out_tolerance_um", "um", 0, 1_000, "tolerance of the stand-out", 5)),
    since_version_2(
        choice_field(
            "cage_material",
            ("brass", "steel", "polyamide", "phenolic", "peek", "other"),
            "material of the cage",
        )
    ),
    since_version_2(
        number_field(
            "temperature_limit_c", "degC", 0, 500, "highest operating temperature that the source states"
        )
    ),
    since_version_2(
        number_field("stabilised_to_c", "degC", 0, 500, "temperature that the rings are stabilized to")
    ),
    force_field("spring_force_n", "force of the springs that the ring rests on"),
    number_field("spring_rate_n_per_mm", "N/mm", LEAST, 1e8, "rate of these springs"),
    number_field("spring_travel_mm", "mm", 0, 1_000, "travel of these springs until they are solid"),
    factor_field("f0r", "reference friction factor f0r"),
    factor_field("f1r", "reference friction factor f1r"),
    factor_field("f0", "friction factor f0 as lubricated here"),
    factor_field("f1", "friction factor f1 as loaded here"),
    number_field("reference_surface_mm2", "mm2", LEAST, 1e8, "heat-emitting reference surface"),
    size_field("shaft_washer_diameter_mm", "outside diameter of the shaft washer of a thrust bearing"),
    size_field("housing_washer_bore_mm", "bore of the housing washer of a thrust bearing"),
    choice_field(
        "rating_basis",
        ("printed", "geometry"),
        "what the ratings rest on: printed by a source, or estimated from counted and measured balls",
    ),
    text_field("note", "anything worth remembering"),
)
PART: Final = keyed(
    choice_field("ring", ("inner", "outer", "both"), "the ring that the part sits against"),
    size_field("height_mm", "height"),
    size_field("inner_height_mm", "height of the inner part of a pair"),
    size_field("outer_height_mm", "height of the outer part of a pair"),
    text_field("note", "anything worth remembering"),
)
GUIDE: Final = BEARING | keyed(
    choice_field("carries", ("none", "up", "down", "both"), "thrust that the guide carries", default="none"),
    number_field("end_play_um", "um", 0, 100_000, "end play before the guide carries thrust"),
    since_version_2(force_field("radial_load_n", "radial load on the guide")),
    since_version_2(choice_field("lubricant", ("oil", "grease"), "its own; as the stack's when absent")),
    since_version_2(
        number_field("guide_temperature_c", "degC", -40, 250, "temperature of the guide in service")
    ),
    since_version_2(number_field("distance_mm", "mm", LEAST, 50_000, "along the shaft from the stack")),
)
OF_GUIDE: Final = tuple(name for name in GUIDE if name not in BEARING)
ROOMS: Final[dict[Room, dict[str, FieldSpec]]] = {
    "motor": MOTOR,
    "duty_point": DUTY_POINT,
    "lubrication": LUBRICATION,
    "policy": POLICY,
    "set_factors": SET_FACTORS,
    "bearing": BEARING,
    "part": PART,
    "guide": GUIDE,
}
VERSIONS: Final = (1, 2)
TOP_FIELDS: Final = ("stack_file", "motor", "lubrication", "policy", "items", "guides")
CONTACT_ANGLE_DEG: Final = (15.0, 45.0)


def field_spec(room: Room, name: str) -> FieldSpec:
    """Return the specification of one field: ``field_spec("motor", "rated_speed_rpm")``."""
    return ROOMS[room][name]
