"""What stands on a motor's plates, field by field, in the order in which a person reads them.

The lists follow NEMA MG 1 and IEC 60034-1 as they are commonly restated; from memory, unverified.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import range_end
from repairs.motors.units import Unit, preferred_unit, unit_of, with_unit

State = Literal["read", "inferred", "illegible", "missing"]
STATES: Final = {
    "read": gettext_lazy("read"),
    "inferred": gettext_lazy("inferred"),
    "illegible": gettext_lazy("illegible"),
    "missing": gettext_lazy("not on plate"),
}


@dataclass(frozen=True, slots=True)
class PlateField:
    """One field of a plate. Numbers lie from ``low`` to ``high``, in SI.

    ``printed_in`` names the unit that plates of every country print it in; it is asked in that one. Before the figure
    of a grade its name may be typed (VG 32). Of ``several`` figures, as plates of two voltages or two speeds print them
    (230/460), the highest voltage counts, and with it the lowest current. Words ``beside`` a figure say what it is and
    are left out (40C AMB, SF 1.15).
    """

    key: str
    label: str | Promise
    group: str
    kind: Literal["number", "text", "choice"] = "text"
    quantity: str = "plain"
    low: float = 0.0
    high: float = 1e9
    choices: tuple[tuple[str, str | Promise], ...] = ()
    whole: bool = False
    printed_in: str = ""
    is_grade: bool = False
    several: Literal["", "highest", "lowest"] = ""
    beside: tuple[str, ...] = ()

    def usual_unit(self, units: str) -> Unit:
        """Return the unit that plates print it in everywhere, else the reader's."""
        return (
            unit_of(self.quantity, self.printed_in)
            if self.printed_in
            else preferred_unit(self.quantity, units)
        )

    def accepted(self, units: str, unit_name: str = "") -> str:
        """Say in words what is accepted, in the unit that was chosen, else in the reader's."""
        if self.kind != "number":
            return ""
        unit = unit_of(self.quantity, unit_name) if unit_name else self.usual_unit(units)
        low = range_end(unit.from_si(self.low), is_low=True)
        high = with_unit(range_end(unit.from_si(self.high), is_low=False), unit.name, units, self.quantity)
        words = _("{low} to {high}").format(low=low, high=high)
        return _("whole numbers, {range}").format(range=words) if self.whole else words


def _n(
    key: str, label: str | Promise, group: Any, quantity: str, low: float, high: float, printed_in: str = ""
) -> PlateField:
    return PlateField(key, label, group, "number", quantity, low, high, printed_in=printed_in)


def _count(key: str, label: str | Promise, group: Any, low: int, high: int) -> PlateField:
    return PlateField(key, label, group, "number", "plain", low, high, whole=True)


def _t(key: str, label: str | Promise, group: Any) -> PlateField:
    return PlateField(key, label, group)


def _c(key: str, label: str | Promise, group: Any, *choices: tuple[str, str | Promise]) -> PlateField:
    return PlateField(key, label, group, "choice", choices=choices)


_L = gettext_lazy
YES_NO: Final = (("yes", _L("yes")), ("no", _L("no")))

DUTY_PARTS: Final = 4


def _duty_fields() -> list[PlateField]:
    """Return share, speed and thrust of each part of the running time."""
    fields = []
    for number in range(1, DUTY_PARTS + 1):
        share = format_lazy(_L("Duty part {number}: % of run time"), number=number)
        speed = format_lazy(_L("Duty part {number}: RPM"), number=number)
        thrust = format_lazy(_L("Duty part {number}: downthrust (− = up)"), number=number)
        fields += [
            _n(f"duty_{number}_percent", share, "duty", "percent", 0.1, 100),
            _n(f"duty_{number}_speed_rpm", speed, "duty", "speed", 1, 20_000),
            _n(f"duty_{number}_thrust_n", thrust, "duty", "force", -1e7, 1e7),
        ]
    return fields


# Words that plates print with a figure; written without points, in small letters.
THRUST_WORDS: Final = (
    "down", "up", "downthrust", "upthrust", "thrust", "cont", "continuous", "max", "maximum", "mom", "momentary",
)  # fmt: skip
AMBIENT_WORDS: Final = ("amb", "ambient", "max", "maximum", "temp", "deg")
EFFICIENCY_WORDS: Final = ("eff", "efficiency", "nom", "nominal", "nema", "guaranteed", "min")


def _figure(
    key: str, label: str | Promise, group: Any, quantity: str, low: float, high: float, **more: Any
) -> PlateField:
    return PlateField(key, label, group, "number", quantity, low, high, **more)


# The first group in the order of most plates: what a person types first. The rest is folded.
FIELDS: Final[tuple[PlateField, ...]] = (
    _t("manufacturer", _L("Maker"), "main"),
    _t("model", _L("Model / type"), "main"),
    _t("frame", _L("Frame"), "main"),
    _figure("power_w", _L("Power"), "main", "power", 100, 50e6, several="highest"),
    _figure("rated_speed_rpm", _L("Full-load RPM"), "main", "speed", 10, 20_000, several="highest", beside=("fl",)),
    _figure("voltage_v", _L("Volts"), "main", "voltage", 50, 15_000, several="highest",
            beside=("ac", "y", "wye", "delta")),
    _figure("current_a", _L("FLA"), "main", "current", 0.1, 10_000, several="lowest", beside=("fl", "fla", "ac")),
    _figure("frequency_hz", _L("Hz"), "main", "frequency", 10, 400, several="highest"),
    _figure("phases", _L("Phase"), "main", "plain", 1, 3, whole=True, beside=("ph", "phase", "phases", "ø", "φ")),
    _figure("service_factor", _L("SF"), "main", "plain", 1, 2, several="lowest", beside=("sf",)),
    _t("enclosure", _L("Encl."), "main"),
    _t("insulation_class", _L("Insul. class"), "main"),
    _figure("ambient_c", _L("Max. ambient"), "main", "temperature", -40, 90, printed_in="°C", several="highest",
            beside=AMBIENT_WORDS),
    _t("duty", _L("Duty"), "main"),
    _t("shaft_build", _L("Shaft (VHS / VSS)"), "main"),
    _figure("down_thrust_n", _L("Continuous downthrust"), "main", "force", 0, 1e7, beside=THRUST_WORDS),
    _t("year", _L("Year"), "more"),
    _t("voltages", _L("Other volts and amps"), "more"),
    _count("poles", _L("Poles"), "more", 2, 48),
    _figure("power_factor", _L("Power factor"), "more", "ratio", 0.1, 1,
            beside=("pf", "cos", "cosφ", "φ", "phi", "cosphi")),
    _figure("efficiency_percent", _L("Efficiency"), "more", "percent", 10, 99.9, beside=EFFICIENCY_WORDS),
    _t("temperature_rise", _L("Temp. rise"), "more"),
    _figure("service_factor_current_a", _L("SF amps"), "nema", "current", 0.1, 12_000, beside=("sf", "sfa")),
    _t("code_letter", _L("Code"), "nema"),
    _t("design_letter", _L("Design"), "nema"),
    _figure("nominal_efficiency", _L("NEMA nom. eff."), "nema", "percent", 10, 99.9, beside=EFFICIENCY_WORDS),
    _t("connection", _L("Connection diagram"), "nema"),
    _t("thermal_protection", _L("Thermal protection"), "nema"),
    _t("space_heater", _L("Space heater (V, W)"), "nema"),
    _t("inverter_duty", _L("Inverter duty"), "nema"),
    _n("altitude_m", _L("Altitude"), "nema", "altitude", 0, 6000),
    _t("standard_code", _L("Standard"), "iec"),
    _t("ip_code", _L("IP"), "iec"),
    _t("ic_code", _L("IC (cooling)"), "iec"),
    _t("im_code", _L("IM (mounting)"), "iec"),
    _t("ie_class", _L("IE class"), "iec"),
    _figure("mass_kg", _L("Weight"), "iec", "mass", 1, 100_000, beside=("wt", "weight", "approx")),
    _t("direction", _L("Rotation"), "iec"),
    _figure("maximum_down_thrust_n", _L("Max. downthrust"), "vertical", "force", 0, 1e7, beside=THRUST_WORDS),
    _figure("up_thrust_n", _L("Upthrust"), "vertical", "force", 0, 1e7, beside=THRUST_WORDS),
    _c("up_thrust_duration", _L("Upthrust duration"), "vertical",
       ("momentary", _L("momentary (starting)")), ("continuous", _L("continuous"))),
    _c("maximum_thrust_duration", _L("Max. downthrust duration"), "vertical",
       ("momentary", _L("momentary")), ("continuous", _L("continuous"))),
    _c(
        "thrust_basis",
        _L("Plate thrust"),
        "vertical",
        ("external", _L("external (without rotor)")),
        ("total", _L("total (with rotor)")),
    ),
    _t("thrust_class", _L("Thrust class"), "vertical"),
    _t("thrust_bearings", _L("Thrust bearing no."), "vertical"),
    _count("thrust_bearing_count", _L("Thrust bearing quantity"), "vertical", 1, 12),
    _c("thrust_bearing_arrangement", _L("Thrust bearing mounting"), "vertical",
       ("single", _L("single")), ("tandem", _L("tandem (DT)")), ("back_to_back", _L("back to back (DB)")),
       ("face_to_face", _L("face to face (DF)")), ("tandem_opposed", _L("tandem pair, one opposed (backup)")),
       ("other", _L("other"))),
    _t("guide_bearing", _L("Guide bearing no."), "vertical"),
    _c("lubrication", _L("Thrust bearing lubrication"), "vertical",
       ("oil_bath", _L("oil bath")), ("oil_circulating", _L("circulating oil")), ("oil_jet", _L("oil jet")),
       ("grease", _L("grease"))),
    PlateField("oil_iso_vg", _L("ISO VG"), "vertical", "number", "plain", 2, 3200, is_grade=True),
    _t("oil_type", _L("Oil / grease"), "vertical"),
    _n("oil_capacity_l", _L("Oil capacity, top"), "vertical", "volume", 0.05, 2000),
    _n("oil_capacity_bottom_l", _L("Oil capacity, bottom"), "vertical", "volume", 0.05, 2000),
    _t("oil_level_mark", _L("Oil level mark"), "vertical"),
    _n("cooler_flow_l_min", _L("Cooler flow"), "vertical", "flow", 0.1, 5000),
    _c("non_reverse", _L("Non-reverse ratchet"), "vertical", *YES_NO),
    _c("rotation", _L("Rotation from top"), "vertical",
       ("ccw", _L("counterclockwise (CCW)")), ("cw", _L("clockwise (CW)"))),
    _t("coupling", _L("Coupling type"), "vertical"),
    _n("coupling_bore_mm", _L("Coupling bore (BX)"), "vertical", "length", 5, 500),
    _n("flange_to_coupling_mm", _L("Base to coupling top (CD)"), "vertical", "length", 10, 5000),
    _n("base_diameter_mm", _L("Base diameter (BD)"), "vertical", "length", 50, 5000),
    _n("rabbet_diameter_mm", _L("Rabbet (AK)"), "vertical", "length", 20, 4000),
    _n("bolt_circle_mm", _L("Bolt circle (AJ)"), "vertical", "length", 20, 5000),
    _t("bolt_holes", _L("Bolt holes"), "vertical"),
    _n("end_play_mm", _L("End play"), "vertical", "small_length", 0, 20),
    _n("inertia_kg_m2", _L("WK²"), "vertical", "inertia", 0.001, 1e5),
    _t("detectors", _L("RTDs / thermistors"), "vertical"),
    _c("bearing_insulated", _L("Insulated top bearing"), "vertical", *YES_NO),
    _t("vibration_switch", _L("Vibration / moisture switch"), "vertical"),
    _n("reed_frequency_hz", _L("Reed frequency"), "vertical", "frequency", 1, 400),
    _n("rotor_weight_n", _L("Rotor weight"), "stack", "weight", 1, 1e7),
    _n("radial_load_n", _L("Radial load on stack"), "stack", "force", 0, 1e7),
    _c("fixed_speed", _L("Supply"), "stack",
       ("yes", _L("across the line")), ("no", _L("on a drive (VFD)"))),
    _n("minimum_speed_rpm", _L("Min. drive RPM"), "stack", "speed", 10, 20_000),
    _n("minimum_speed_down_thrust_n", _L("Downthrust at min. RPM (no rotor)"), "stack", "force", 0, 1e7),
    _n("maximum_speed_rpm", _L("Max. drive RPM"), "stack", "speed", 10, 20_000),
    _n("maximum_speed_down_thrust_n", _L("Downthrust at max. RPM (no rotor)"), "stack", "force", 0, 1e7),
    _n("reverse_speed_rpm", _L("Backspin RPM"), "stack", "speed", 10, 20_000),
    _n("oil_temperature_c", _L("Oil temperature, running"), "stack", "temperature", -20, 200),
    _n("mount_ambient_c", _L("Ambient at mount"), "stack", "temperature", -40, 90),
    _n("oil_rise_k", _L("Oil temperature rise"), "stack", "temperature_difference", 0.5, 80),
    _n("heat_removed_w", _L("Cooler capacity"), "stack", "power", 1, 1e6),
    _n("external_heat_w", _L("Heat from rotor"), "stack", "power", 0, 1e5),
    _n("mount_bore_mm", _L("Mount bore (0 = solid)"), "stack", "length", 0, 5000),
    _n("shaft_warmer_k", _L("Shaft warmer than housing"), "stack", "temperature_difference", -100, 150),
    _n("oil_viscosity_index", _L("Oil viscosity index"), "stack", "plain", 0, 400),
    _c("cleanliness", _L("Oil cleanliness"), "stack",
       ("extreme_cleanliness", _L("extreme (laboratory)")),
       ("high_cleanliness", _L("high (extra-fine filter)")), ("normal_cleanliness", _L("normal (fine filter)")),
       ("slight_contamination", _L("slight contamination")), ("typical_contamination", _L("typical, no fine filter")),
       ("severe_contamination", _L("severe contamination")),
       ("very_severe_contamination", _L("very severe contamination"))),
    _c("oil_cleanliness_code", _L("ISO 4406 cleanliness code"), "stack",
       ("circulating_13_10", _L("circulating, filter on line, −/13/10")),
       ("circulating_15_12", _L("circulating, filter on line, −/15/12")),
       ("circulating_17_14", _L("circulating, filter on line, −/17/14")),
       ("circulating_19_16", _L("circulating, filter on line, −/19/16")),
       ("bath_13_10", _L("oil bath, −/13/10")), ("bath_15_12", _L("oil bath, −/15/12")),
       ("bath_17_14", _L("oil bath, −/17/14")), ("bath_19_16", _L("oil bath, −/19/16")),
       ("bath_21_18", _L("oil bath, −/21/18")),
       ("grease_high_cleanliness", _L("grease, high cleanliness")),
       ("grease_normal_cleanliness", _L("grease, normal cleanliness")),
       ("grease_slight_contamination", _L("grease, slight contamination")),
       ("grease_severe_contamination", _L("grease, severe contamination")),
       ("grease_very_severe_contamination", _L("grease, very severe contamination"))),
    _n("reliability_percent", _L("Required reliability"), "stack", "percent", 90, 99.95),
    _n("required_life_h", _L("Required bearing life"), "stack", "hours", 100, 1e6),
    *_duty_fields(),
)  # fmt: skip
BY_KEY: Final = {field.key: field for field in FIELDS}
GROUPS: Final[tuple[tuple[str, str | Promise], ...]] = (
    ("main", _L("Nameplate")),
    ("more", _L("More from the nameplate")),
    ("vertical", _L("Vertical motor")),
    ("stack", _L("For the bearing check")),
    ("duty", _L("Duty cycle (parts total 100%)")),
    ("nema", _L("NEMA")),
    ("iec", _L("IEC")),
)
