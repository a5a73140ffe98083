"""Every field of the stack file: its unit, range and choices. Reader, schema and forms all use this table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from bearings.engineering.tables.oil import CONTAMINATION

Kind = Literal["number", "integer", "text", "choice", "flag"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldSpec:
    """One field. A number lies from ``low`` to ``high``; ``above`` means that ``low`` itself is refused."""

    kind: Kind
    meaning: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    above: bool = False
    choices: tuple[str, ...] = ()

    def accepted(self) -> str:
        """Say in words what is accepted."""
        if self.kind == "choice":
            return "one of " + ", ".join(self.choices)
        if self.kind == "flag":
            return "true or false"
        if self.kind == "text":
            return "text of at most 200 characters"
        start = f"above {self.low:g}" if self.above else f"{self.low:g}"
        whole = "a whole number, " if self.kind == "integer" else "a number, "
        return f"{whole}{start} to {self.high:g}{' ' + self.unit if self.unit else ''}"


def _number(meaning: str, unit: str, low: float, high: float, *, above: bool = False) -> FieldSpec:
    return FieldSpec(kind="number", meaning=meaning, unit=unit, low=low, high=high, above=above)


def _positive(meaning: str, unit: str, high: float) -> FieldSpec:
    return _number(meaning, unit, 0, high, above=True)


def _text(meaning: str) -> FieldSpec:
    return FieldSpec(kind="text", meaning=meaning)


def _choice(meaning: str, *choices: str) -> FieldSpec:
    return FieldSpec(kind="choice", meaning=meaning, choices=choices)


def _speed(meaning: str) -> FieldSpec:
    return _positive(meaning, "r/min", 100_000)


def _force(meaning: str) -> FieldSpec:
    return _number(meaning, "N", 0, 1e8)


def _rating(meaning: str) -> FieldSpec:
    return _positive(meaning, "N", 1e8)


MOTOR: Final = {
    "mounting": _choice("how the shaft stands", "vertical", "horizontal"),
    "rated_speed_rpm": _speed("speed at rated load; required"),
    "synchronous_speed_rpm": _speed("speed without slip"),
    "maximum_speed_rpm": _speed("highest continuous speed that the drive is set to"),
    "reverse_speed_rpm": _speed("speed when the pump drives the motor backwards"),
    "non_reverse": FieldSpec(kind="flag", meaning="a ratchet prevents turning backwards"),
    "down_thrust_n": _force("continuous external down thrust, without the rotor"),
    "maximum_down_thrust_n": _force("highest external down thrust, without the rotor"),
    "up_thrust_n": _force("momentary external up thrust"),
    "rotor_weight_n": _force("weight of the rotor and what hangs on it"),
    "radial_load_n": _force("radial load on this stack"),
    "required_l10h": _positive("life that contract or customer asks for", "h", 1e7),
}
LUBRICATION: Final = {
    "method": _choice("how it is lubricated", "oil_bath", "oil_circulating", "oil_jet", "grease"),
    "iso_vg": _number("ISO 3448 grade of the oil, or of the grease's base oil", "mm²/s", 7, 3200),
    "viscosity_index": _number("viscosity index", "", 0, 300),
    "temperature_c": _number("temperature of the oil in service", "°C", -20, 200),
    "contamination": _choice("cleanliness level of ISO 281", *CONTAMINATION),
    "contamination_factor": _number("contamination factor, instead of a level", "", 0, 1),
    "oil_flow_l_min": _number("circulating oil", "l/min", 0, 10_000),
    "oil_rise_k": _number("temperature rise of the circulating oil", "K", 0, 150),
    "heat_removed_w": _positive("heat removed from the whole stack by seats, oil and coil", "W", 1e7),
}
POLICY: Final = {
    "minimum_speed_margin": _number("least speed margin; 0.10 is 10 %", "", 0, 5),
    "stop_l10h": _number("life below which the stack is stopped", "h", 0, 1e7),
    "warn_l10h": _number("life below which the shop warns", "h", 0, 1e7),
    "minimum_static_safety_ball": _number("least static safety of ball bearings", "", 0, 100),
    "minimum_static_safety_spherical_roller_thrust": _number(
        "least static safety of spherical roller thrust bearings", "", 0, 100
    ),
    "tandem_stand_out_um": _number("largest difference of stand-out in a tandem", "µm", 0, 1000),
    "spacer_pair_um": _number("largest difference between inner and outer spacer", "µm", 0, 1000),
    "unloaded_warn_ndm": _number("speed times pitch diameter above which an unloaded bearing warns", "mm/min", 0, 1e8),
}
SET_FACTORS: Final = {
    name: _number("speed factor of this kind of set", "", 0, 1.5, above=True)
    for name in (
        "single",
        "tandem_pair",
        "tandem_many",
        "opposed_pair",
        "opposed_single_side",
        "opposed_many",
        "spring",
    )
}
BEARING_TYPES: Final = ("angular_contact_ball", "deep_groove_ball", "spherical_roller_thrust", "cylindrical_roller")
BEARING: Final = {
    "type": _choice("what kind of bearing", *BEARING_TYPES),
    "wide_face": _choice("the way the wide face of the outer ring looks, or the housing washer's side", "up", "down"),
    "designation": _text("designation"),
    "maker": _text("maker"),
    "variant": _text("variant or internal design"),
    "cage": _text("cage"),
    "source": _text("where the ratings are printed"),
    "serial": _text("serial number"),
    "mark": _text("mark on the ring"),
    "set_id": _text("matched set that it belongs to"),
    "note": _text("note"),
    "bore_mm": _positive("bore", "mm", 3000),
    "outside_diameter_mm": _positive("outside diameter", "mm", 4000),
    "height_mm": _positive("height", "mm", 1000),
    "contact_angle_deg": _number("contact angle", "°", 15, 45),
    "dynamic_rating_n": _rating("basic dynamic load rating"),
    "static_rating_n": _rating("basic static load rating"),
    "fatigue_load_limit_n": _rating("fatigue load limit"),
    "limiting_speed_rpm": _speed("limiting speed"),
    "reference_speed_rpm": _speed("thermal reference speed"),
    "oil_speed_rpm": _speed("speed printed for oil"),
    "grease_speed_rpm": _speed("speed printed for grease"),
    "minimum_load_factor_n": _rating("the maker's factor A for the least axial load"),
    "ball_count": FieldSpec(kind="integer", meaning="balls in a row", low=3, high=200),
    "ball_diameter_mm": _positive("ball diameter", "mm", 500),
    "pitch_diameter_mm": _positive("pitch diameter", "mm", 4000),
    "pair_preload_n": _force("preload of a pair of these"),
    "stand_out_um": _number("stand-out; positive takes load first, negative is clearance", "µm", -1000, 1000),
    "spring_force_n": _rating("force of the springs under the ring"),
    "spring_rate_n_per_mm": _positive("rate of the springs", "N/mm", 1e7),
    "spring_travel_mm": _positive("travel until the springs go solid", "mm", 100),
    "f0r": _positive("f0 at the reference conditions", "", 50),
    "f1r": _positive("f1 at the reference conditions", "", 0.1),
    "f0": _positive("friction factor f0 in service", "", 50),
    "f1": _positive("friction factor f1 in service", "", 0.1),
    "reference_surface_mm2": _positive("heat-emitting surface of ISO 15312", "mm²", 1e8),
}
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
PART: Final = {
    "ring": _choice("the ring that it sits against", "inner", "outer", "both"),
    "height_mm": _positive("height", "mm", 1000),
    "inner_height_mm": _positive("height of its inner ring", "mm", 1000),
    "outer_height_mm": _positive("height of its outer ring", "mm", 1000),
    "note": _text("note"),
}
KIND: Final = _choice("what the item is", "bearing", *PART_KINDS)
GUIDE: Final = {
    **BEARING,
    "carries": _choice("thrust that it is arranged to carry", "none", "up", "down", "both"),
    "end_play_um": _number("end play before it carries", "µm", 0, 100_000),
}
ROOT: Final = ("stack_file", "motor", "lubrication", "policy", "items", "guides")
ONE_WAY: Final = ("angular_contact_ball", "spherical_roller_thrust")
MAX_ITEMS: Final = 20
MAX_TEXT: Final = 200
MAX_BYTES: Final = 1024 * 1024
MAX_DEPTH: Final = 12


def field_spec(room: str, name: str) -> FieldSpec:
    """Return a field's specification, by the room it stands in (motor, bearing, part, ...) and its name."""
    rooms = {"motor": MOTOR, "lubrication": LUBRICATION, "policy": POLICY, "bearing": BEARING, "part": PART}
    return rooms[room][name]


def bearing_fields() -> dict[str, FieldSpec]:
    """Return the fields of a bearing, by name."""
    return dict(BEARING)
