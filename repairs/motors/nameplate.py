"""What stands on a motor's plates, field by field, in the order in which a person reads them.

The lists follow NEMA MG 1 and IEC 60034-1 as they are commonly restated; from memory, unverified.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import grouped, percent_sign, plain
from repairs.edge.typed_numbers import NumberError, read_typed
from repairs.motors.units import (
    OTHER_NAMES,
    PERCENT,
    QUANTITIES,
    Unit,
    preferred_unit,
    unit_of,
    written_unit,
)

State = Literal["read", "inferred", "illegible", "missing"]
STATES: Final = {
    "read": gettext_lazy("read"),
    "inferred": gettext_lazy("inferred"),
    "illegible": gettext_lazy("illegible"),
    "missing": gettext_lazy("missing"),
}


@dataclass(frozen=True, slots=True)
class PlateField:
    """One field of a plate. Numbers lie from ``low`` to ``high``, in SI.

    ``printed_in`` names the unit that plates of every country print it in; it is asked in that one. Before the figure
    of a grade its name may be typed (VG 32). Of ``several`` figures, as plates of two voltages print them (230/460),
    the highest voltage counts, and with it the lowest current.
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
        low, high = (_rounded(unit.from_si(limit)) for limit in (self.low, self.high))
        words = _("{low} to {high} {unit}").format(low=low, high=high, unit=unit.name).strip()
        return _("whole numbers, {range}").format(range=words) if self.whole else words


def _rounded(value: float) -> str:
    """Write a limit with four figures."""
    return plain(value, 4)


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


FIELDS: Final[tuple[PlateField, ...]] = (
    _t("manufacturer", _L("Maker"), "main"),
    _t("model", _L("Model / type"), "main"),
    _t("year", _L("Year"), "main"),
    _n("power_w", _L("Power"), "main", "power", 100, 50e6),
    PlateField("voltage_v", _L("Volts"), "main", "number", "voltage", 50, 15_000, several="highest"),
    _t("voltages", _L("Other volts and amps"), "main"),
    PlateField("current_a", _L("FLA"), "main", "number", "current", 0.1, 10_000, several="lowest"),
    _n("frequency_hz", _L("Hz"), "main", "frequency", 10, 400),
    _count("phases", _L("Phase"), "main", 1, 3),
    _count("poles", _L("Poles"), "main", 2, 48),
    _n("rated_speed_rpm", _L("Full-load RPM"), "main", "speed", 10, 20_000),
    _n("power_factor", _L("Power factor"), "main", "ratio", 0.1, 1),
    _n("efficiency_percent", _L("Efficiency"), "main", "percent", 10, 99.9),
    _t("insulation_class", _L("Insul. class"), "main"),
    _t("temperature_rise", _L("Temp. rise"), "main"),
    _n("ambient_c", _L("Max. ambient"), "main", "temperature", -40, 90, "°C"),
    _t("duty", _L("Duty"), "main"),
    _t("enclosure", _L("Encl."), "main"),
    _t("frame", _L("Frame"), "nema"),
    _n("service_factor", _L("SF"), "nema", "plain", 1, 2),
    _n("service_factor_current_a", _L("SF amps"), "nema", "current", 0.1, 12_000),
    _t("code_letter", _L("Code"), "nema"),
    _t("design_letter", _L("Design"), "nema"),
    _n("nominal_efficiency", _L("NEMA nom. eff."), "nema", "percent", 10, 99.9),
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
    _n("mass_kg", _L("Weight"), "iec", "mass", 1, 100_000),
    _t("direction", _L("Rotation"), "iec"),
    _t("shaft_build", _L("Shaft (VHS / VSS)"), "vertical"),
    _n("down_thrust_n", _L("Continuous downthrust"), "vertical", "force", 0, 1e7),
    _n("maximum_down_thrust_n", _L("Max. downthrust"), "vertical", "force", 0, 1e7),
    _n("up_thrust_n", _L("Upthrust"), "vertical", "force", 0, 1e7),
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
    _n("rotor_weight_n", _L("Rotor weight"), "stack", "force", 1, 1e7),
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
    ("vertical", _L("Vertical motor")),
    ("stack", _L("For the bearing check")),
    ("duty", _L("Duty cycle (parts total 100%)")),
    ("nema", _L("NEMA")),
    ("iec", _L("IEC")),
)


def read_entry(
    field: PlateField, state: str, typed: str, unit_name: str, units: str
) -> tuple[dict[str, object] | None, str]:
    """Return what is stored for one field and what is wrong with it (an empty text when nothing is).

    An empty field that is called read was not asked yet and is not stored.
    """
    typed = typed.strip()
    if state not in STATES:
        state = "read"
    if state in {"illegible", "missing"}:
        return {"state": state, "typed": "", "unit": "", "si": None}, ""
    if not typed:
        return None, ""
    if field.kind == "choice":
        if typed not in dict(field.choices):
            words = ", ".join(str(words) for _value, words in field.choices)
            return None, _("“{value}” is not accepted. Accepted: {choices}.").format(
                value=typed, choices=words
            )
        return {"state": state, "typed": typed, "unit": "", "si": typed}, ""
    if field.kind == "text":
        if len(typed) > 200:
            return None, _("{count} characters. Enter at most 200.").format(count=len(typed))
        return {"state": state, "typed": typed, "unit": "", "si": typed}, ""
    return _read_number(field, state, typed, unit_name, units)


_PREFIX: Final = re.compile(r"(?:iso\s*)?vg\s*", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"\s*[/-]\s*")


def _read_number(
    field: PlateField, state: str, typed: str, unit_name: str, units: str
) -> tuple[dict[str, object] | None, str]:
    unit = unit_of(field.quantity, unit_name) if unit_name else field.usual_unit(units)
    try:
        text, unit, si = _figure_of(field, typed, unit)
    except NumberError as error:
        return None, _("{error} Accepted: {range}.").format(
            error=error, range=field.accepted(units, unit.name)
        )
    accepted = field.accepted(units, unit.name if unit in QUANTITIES[field.quantity] else "")
    if field.whole and si != int(si):
        return None, _("{value} is not accepted. Accepted: {range}.").format(value=typed, range=accepted)
    if not _inside(field, si):
        return None, _("{value} {unit} is out of range. Accepted: {range}.").format(
            value=text, unit=unit.name, range=accepted
        )
    return {"state": state, "typed": text, "unit": unit.name, "si": si}, ""


def _inside(field: PlateField, si: float) -> bool:
    """Whether a value is accepted; a limit typed as it is printed must pass, though it converts a hair beside it."""
    slack = 1e-3 if len(QUANTITIES[field.quantity]) > 1 else 0.0
    return field.low - slack * abs(field.low) <= si <= field.high + slack * abs(field.high)


def _figure_of(field: PlateField, typed: str, unit: Unit) -> tuple[str, Unit, float]:
    """Return the text of a figure without what stands before and behind it, its unit, and the value in SI."""
    text = _PREFIX.sub("", typed, count=1) if field.is_grade else typed
    parts = _BETWEEN.split(text.strip()) if field.several and not text.strip().startswith("-") else [text]
    read = [read_typed(part) for part in parts]
    written = next((one.unit for one in reversed(read) if one.unit), "")
    if written:
        found = written_unit(field.quantity, written)
        if found is None:
            known = ", ".join(one.name for one in QUANTITIES[field.quantity] if one.name)
            words = _("Unknown unit “{unit}”. Use {units}.")
            raise NumberError(words.format(unit=written[:20], units=known or _("a number without a unit")))
        unit = found
    values = [unit.to_si(float(one.number)) for one in read]
    si = min(values) if field.several == "lowest" else max(values)
    if field.quantity == "ratio" and not written and field.high < si <= 100 * field.high:
        # Plates print a power factor as 0.87 and as 87.
        unit, si = PERCENT, PERCENT.to_si(si)
    return "/".join(one.text for one in read), unit, si


def shown(field: PlateField, entry: dict[str, object] | None, units: str) -> str:
    """Return a plate entry for reading: as printed, figures as this shop writes them; illegible and missing say so."""
    if entry is None:
        return ""
    state = entry.get("state")
    if state in {"illegible", "missing"}:
        return str(STATES[state])
    if field.kind == "choice":
        return str(dict(field.choices).get(str(entry.get("si")), entry.get("si")))
    unit = str(entry.get("unit", ""))
    typed = str(entry.get("typed", ""))
    written = _as_written(field, typed)
    text = f"{written}{percent_sign()}" if unit == "%" else f"{written} {OTHER_NAMES.get(unit, unit)}".strip()
    if field.kind == "number" and (other := _in_preferred(field, entry, units)):
        text = f"{text} ({other})"
    return f"{text}, {_inferred_words(field, entry, units)}" if state == "inferred" else text


def _as_written(field: PlateField, typed: str) -> str:
    """Return the figures of an entry with thousands apart and all the decimals of the plate; a fraction stays one."""
    if field.kind != "number" or ("/" in typed and not field.several):
        return typed
    try:
        numbers = [read_typed(part).number for part in typed.split("/")]
    except NumberError:
        return typed
    return "/".join(grouped(float(one), max(0, -int(one.as_tuple().exponent))) for one in numbers)


def _inferred_words(field: PlateField, entry: dict[str, object], units: str) -> str:
    """Say that a value is inferred; of one from the thrust sheet, from which revision, and what the plate says."""
    if "sheet" not in entry:
        return str(STATES["inferred"])
    words = _("from thrust sheet, rev. {number}").format(number=entry["sheet"])
    if entry.get("fallback"):
        words = f"{words} ({_('rule of thumb, no source')})"
    own = shown(field, plate_entry(entry), units)
    return _("{words}; plate: {value}").format(words=words, value=own) if own else words


def plate_entry(entry: dict[str, Any] | None) -> dict[str, Any] | None:
    """Return what the plate itself says, behind a figure that the thrust sheet put in its place."""
    return entry.get("plate") if entry and "sheet" in entry else entry


def _in_preferred(field: PlateField, entry: Mapping[str, Any], units: str) -> str:
    """Return the value in the reader's unit when it was typed in another one."""
    unit = preferred_unit(field.quantity, units)
    if entry.get("si") is None:
        return ""
    if len(QUANTITIES[field.quantity]) < 2 or unit.name == entry.get("unit"):
        return _understood(field, entry)
    return f"{_rounded(unit.from_si(entry['si']))} {unit.name}"


def _understood(field: PlateField, entry: Mapping[str, Any]) -> str:
    """Return the figure that counts where the plate prints a fraction, or one of several."""
    if "/" not in str(entry.get("typed", "")):
        return ""
    unit = unit_of(field.quantity, str(entry.get("unit", "")))
    figure = f"{plain(unit.from_si(entry['si']), 7)} {unit.name}"
    return _("{figure} counts").format(figure=figure) if field.several else figure
