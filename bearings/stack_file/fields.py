"""Every field of the stack file with its unit, range and choices: the one table that the reader, the
published schema and the web forms are made from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from bearings.engineering.tables.contamination import CLEANLINESS
from bearings.engineering.tables.life_factors import CONTAMINATION

FieldKind = Literal["number", "integer", "text", "choice", "boolean", "list"]
# What becomes of a verdict while a field is unknown: it is judged over a published range, or not proven where the
# field is asked for, or another field does as well, or a published default stands, or nothing hangs on it.
WhenUnknown = Literal["ranged", "needed", "alternative", "assumed", "exempt"]
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


def _number(
    name: str, unit: str, low: float, high: float, description: str, default: float | None = None
) -> FieldSpec:
    return FieldSpec(
        name=name,
        kind="number",
        unit=unit,
        minimum=low,
        maximum=high,
        description=description,
        default=default,
    )


def _choice(name: str, choices: tuple[str, ...], description: str, **more: object) -> FieldSpec:
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


def _text(name: str, description: str) -> FieldSpec:
    return FieldSpec(name=name, kind="text", description=description)


def _speed(name: str, description: str) -> FieldSpec:
    return _number(name, "rpm", LEAST, 200_000, description)


def _rating(name: str, description: str) -> FieldSpec:
    return _number(name, "N", LEAST, 1e9, description)


def _size(name: str, description: str) -> FieldSpec:
    return _number(name, "mm", LEAST, 5_000, description)


def _force(name: str, description: str) -> FieldSpec:
    return _number(name, "N", 0, 1e8, description)


def _factor(name: str, description: str) -> FieldSpec:
    return _number(name, "1", 1e-9, 1_000, description)


def _new(spec: FieldSpec) -> FieldSpec:
    """Return a field that version 2 of the file brought."""
    return replace(spec, since=2)


def _keyed(*specs: FieldSpec) -> dict[str, FieldSpec]:
    return {spec.name: spec for spec in specs}


DUTY_POINT: Final = _keyed(
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
MOTOR: Final = _keyed(
    _choice("mounting", ("vertical", "horizontal"), "how the shaft stands", default="vertical"),
    FieldSpec(
        name="rated_speed_rpm",
        kind="number",
        unit="rpm",
        minimum=LEAST,
        maximum=200_000,
        description="speed at rated load",
        required=True,
    ),
    _speed("synchronous_speed_rpm", "speed without slip"),
    _speed("maximum_speed_rpm", "highest speed that the drive allows"),
    _speed("reverse_speed_rpm", "speed when the driven machine turns the motor backwards"),
    FieldSpec(name="non_reverse", kind="boolean", description="a ratchet prevents backspin"),
    _number("down_thrust_n", "N", -1e8, 1e8, "continuous external thrust, down positive, without the rotor"),
    _number("maximum_down_thrust_n", "N", -1e8, 1e8, "greatest external down thrust, without the rotor"),
    _force("up_thrust_n", "momentary external up thrust"),
    _force("rotor_weight_n", "weight of the rotor and what hangs on it"),
    _force("radial_load_n", "radial load on this stack"),
    _number("required_l10h", "h", LEAST, 1e8, "life that contract or customer asks for"),
    _number("reliability_percent", "%", 90, 99.95, "reliability that a life is also stated for", 90),
    _number("shaft_warmer_k", "K", -100, 150, "shaft and inner rings warmer than the housing"),
    FieldSpec(
        name="fixed_speed",
        kind="boolean",
        description="the motor runs across the line, not on a drive",
        since=2,
    ),
    _new(_speed("minimum_speed_rpm", "lowest speed at which the drive runs the motor for long")),
    _new(
        _number(
            "minimum_speed_down_thrust_n", "N", -1e8, 1e8, "external down thrust at the drive's lowest speed"
        )
    ),
    _new(
        _number(
            "maximum_speed_down_thrust_n", "N", -1e8, 1e8, "external down thrust at the drive's highest speed"
        )
    ),
    _new(_choice("up_thrust_duty", ("momentary", "continuous"), "how long the up thrust lasts")),
    _new(_choice("maximum_thrust_duty", ("momentary", "continuous"), "how long the greatest thrust lasts")),
    _new(
        _number(
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
LUBRICATION: Final = _keyed(
    _choice("method", ("oil_bath", "oil_circulating", "oil_jet", "grease"), "how the stack is lubricated"),
    _number("iso_vg", "mm2/s", 2, 3_200, "ISO 3448 viscosity grade of the oil or of the grease's base oil"),
    _number("viscosity_index", "1", 0, 400, "viscosity index of the oil", 95),
    _number("temperature_c", "degC", -40, 250, "operating temperature of the oil"),
    _choice("contamination", tuple(CONTAMINATION), "cleanliness level of ISO 281"),
    _number("contamination_factor", "1", 0, 1, "contamination factor eC; it replaces the level"),
    _choice(
        "cleanliness",
        tuple(CLEANLINESS),
        "cleanliness by ISO 281 Annex A: how the oil is kept clean and its ISO 4406 code, or the grease; used "
        "where no level and no factor are given, and stated beside a level",
    ),
    _number("ambient_c", "degC", -40, 150, "temperature of what surrounds the mount"),
    _number("external_heat_w", "W", 0, 1e6, "heat that reaches the stack from rotor and surroundings"),
    _number("oil_flow_l_min", "l/min", 0, 1e5, "flow of circulating oil, counted as cooling with its rise"),
    _number("oil_rise_k", "K", 0, 200, "temperature rise of the circulating oil through the stack"),
    _number(
        "heat_removed_w",
        "W",
        0,
        1e8,
        "heat that seats, oil and coil together take from the whole stack at temperature_c",
    ),
)
SET_FACTORS: Final = _keyed(
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
POLICY: Final = _keyed(
    _number("minimum_speed_margin", "1", 0, 10, "least margin of the permissible speed", 0.10),
    _number("stop_l10h", "h", 0, 1e8, "stack life below which a stack is stopped", 8_800),
    _number("warn_l10h", "h", 0, 1e8, "stack life below which it is warned of", 40_000),
    _number("minimum_static_safety_ball", "1", 0, 1_000, "least static safety of ball bearings", 1.0),
    _number(
        "minimum_static_safety_spherical_roller_thrust",
        "1",
        0,
        1_000,
        "least static safety of spherical roller thrust bearings",
        4.0,
    ),
    _number("tandem_stand_out_um", "um", 0, 10_000, "greatest difference of stand-out in a tandem", 3),
    _number("spacer_pair_um", "um", 0, 10_000, "greatest difference of inner and outer spacer height", 5),
    _number(
        "unloaded_warn_ndm",
        "mm/min",
        0,
        1e9,
        "speed times pitch diameter that an unloaded bearing may run at",
        400_000,
    ),
    _new(
        _number(
            "assumed_shaft_warmer_k",
            "K",
            -100,
            150,
            "how much warmer than the housing this shop takes shaft and inner rings to be where nobody measured it",
        )
    ),
    _new(
        _number(
            "assumed_temperature_c",
            "degC",
            -40,
            250,
            "oil temperature that this shop takes where nobody measured it",
        )
    ),
    _new(
        _number(
            "warm_preload_share",
            "1",
            0,
            1,
            "share of C that the preload of a warm set may reach (common practice, no source)",
            0.10,
        )
    ),
    _new(
        _number(
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
KIND: Final = _choice("kind", ("bearing", *PART_KINDS), "what the item is", required=True)
BEARING: Final = _keyed(
    _choice("type", BEARING_TYPES, "type of bearing", required=True),
    _choice(
        "wide_face",
        ("up", "down"),
        "the way the outer ring's wide (back) face looks; for a spherical roller thrust bearing the side of "
        "the housing washer; required for these two types, refused for the others",
    ),
    _text("designation", "designation without maker"),
    _text("maker", "maker"),
    _text("variant", "variant of the maker: inside, cage, clearance"),
    _text("cage", "cage"),
    _text("source", "where the figures come from"),
    _text("serial", "serial number"),
    _text("mark", "mark on the ring"),
    _text("set_id", "matched set that the bearing belongs to"),
    _size("bore_mm", "bore diameter"),
    _size("outside_diameter_mm", "outside diameter, above the bore"),
    _size("height_mm", "height, or width of a radial bearing"),
    _number(
        "contact_angle_deg", "deg", 0, 90, "nominal contact angle; angular contact bearings 15 to 45 degrees"
    ),
    _rating("dynamic_rating_n", "basic dynamic load rating C"),
    _rating("static_rating_n", "basic static load rating C0"),
    _rating("fatigue_load_limit_n", "fatigue load limit Cu"),
    _speed("limiting_speed_rpm", "printed limiting (mechanical) speed"),
    _speed("reference_speed_rpm", "printed thermal reference speed"),
    _speed("oil_speed_rpm", "printed speed for oil"),
    _speed("grease_speed_rpm", "printed speed for grease"),
    _force("minimum_load_factor_n", "the maker's minimum load factor A"),
    FieldSpec(
        name="ball_count",
        kind="integer",
        unit="1",
        minimum=1,
        maximum=1_000,
        description="balls in the row",
    ),
    _size("ball_diameter_mm", "ball diameter"),
    _size("pitch_diameter_mm", "pitch diameter; the mean of bore and outside diameter when absent"),
    _force("pair_preload_n", "preload of a pair of these"),
    _number(
        "stand_out_um", "um", -10_000, 10_000, "stand-out; positive takes load first, negative is clearance"
    ),
    _number(
        "inner_groove_ratio",
        "1",
        0.505,
        0.6,
        "radius of the inner ring's groove over the ball diameter; 0.52 is assumed when absent",
    ),
    _number(
        "outer_groove_ratio",
        "1",
        0.505,
        0.6,
        "radius of the outer ring's groove over the ball diameter; 0.53 is assumed when absent",
    ),
    _number(
        "fit_interference_um",
        "um",
        -1_000,
        1_000,
        "effective interference of the inner ring's bore on the shaft, in diameter, as mounted; negative is loose",
    ),
    _new(
        _choice(
            "pairing",
            ("single", "universal", "matched"),
            "how the bearing is made to be paired: not at all, with any like it, or within its set",
        )
    ),
    _new(_number("stand_out_tolerance_um", "um", 0, 1_000, "tolerance of the stand-out", 5)),
    _new(
        _choice(
            "cage_material",
            ("brass", "steel", "polyamide", "phenolic", "peek", "other"),
            "material of the cage",
        )
    ),
    _new(
        _number("temperature_limit_c", "degC", 0, 500, "highest operating temperature that the source states")
    ),
    _new(_number("stabilised_to_c", "degC", 0, 500, "temperature that the rings are stabilized to")),
    _force("spring_force_n", "force of the springs that the ring rests on"),
    _number("spring_rate_n_per_mm", "N/mm", LEAST, 1e8, "rate of these springs"),
    _number("spring_travel_mm", "mm", 0, 1_000, "travel of these springs until they are solid"),
    _factor("f0r", "reference friction factor f0r"),
    _factor("f1r", "reference friction factor f1r"),
    _factor("f0", "friction factor f0 as lubricated here"),
    _factor("f1", "friction factor f1 as loaded here"),
    _number("reference_surface_mm2", "mm2", LEAST, 1e8, "heat-emitting reference surface"),
    _size("shaft_washer_diameter_mm", "outside diameter of the shaft washer of a thrust bearing"),
    _size("housing_washer_bore_mm", "bore of the housing washer of a thrust bearing"),
    _choice(
        "rating_basis",
        ("printed", "geometry"),
        "what the ratings rest on: printed by a source, or estimated from counted and measured balls",
    ),
    _text("note", "anything worth remembering"),
)
PART: Final = _keyed(
    _choice("ring", ("inner", "outer", "both"), "the ring that the part sits against"),
    _size("height_mm", "height"),
    _size("inner_height_mm", "height of the inner part of a pair"),
    _size("outer_height_mm", "height of the outer part of a pair"),
    _text("note", "anything worth remembering"),
)
GUIDE: Final = BEARING | _keyed(
    _choice("carries", ("none", "up", "down", "both"), "thrust that the guide carries", default="none"),
    _number("end_play_um", "um", 0, 100_000, "end play before the guide carries thrust"),
    _new(_force("radial_load_n", "radial load on the guide")),
)
OF_GUIDE: Final = ("carries", "end_play_um", "radial_load_n")
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
    "housing_washer_bore_mm", "stand_out_tolerance_um",
)  # fmt: skip
EXEMPT: Final = (
    "required_l10h", "reliability_percent", "duty", "minimum_speed_down_thrust_n", "maximum_speed_down_thrust_n",
    "rating_basis", "cage", "source", "serial", "mark", "note", "kind", "type", *SET_FACTORS, *POLICY,
)  # fmt: skip
KIND_OF: Final[dict[str, WhenUnknown]] = {
    **dict.fromkeys(RANGED, "ranged"),
    **dict.fromkeys(NEEDED, "needed"),
    **dict.fromkeys(ALTERNATIVE, "alternative"),
    **dict.fromkeys(ASSUMED, "assumed"),
    **dict.fromkeys(EXEMPT, "exempt"),
}
VERSIONS: Final = (1, 2)
TOP_FIELDS: Final = ("stack_file", "motor", "lubrication", "policy", "items", "guides")
CONTACT_ANGLE_DEG: Final = (15.0, 45.0)


def field_spec(room: Room, name: str) -> FieldSpec:
    """Return the specification of one field: ``field_spec("motor", "rated_speed_rpm")``."""
    return ROOMS[room][name]
