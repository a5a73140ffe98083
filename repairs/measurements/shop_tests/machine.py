"""The motor of a job as its tests see it, and who typed what their limits rest on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final, cast

from repairs.ledger.models import Event
from repairs.measurements.engineering.limits import Limit
from repairs.measurements.engineering.machine import Machine, Winding
from repairs.measurements.engineering.shape import Value
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.models import TestSetting
from repairs.motors.models import Motor
from repairs.work_orders.models import Job

GRAVITY: Final = 9.80665
# What of the plate a figure of the machine comes from.
PLATE_KEYS: Final[Mapping[str, str]] = {
    "voltage_v": "voltage_v",
    "power_w": "power_w",
    "speed_rpm": "rated_speed_rpm",
    "frequency_hz": "frequency_hz",
    "poles": "poles",
    "current_a": "current_a",
    "power_factor": "power_factor",
    "service_factor": "service_factor",
    "phases": "phases",
    "ambient_c": "ambient_c",
    "rabbet_mm": "rabbet_diameter_mm",
}
WHOLE: Final = frozenset({"poles", "phases"})
WINDING_KEY: Final = "winding"
CLASSES: Final = frozenset("ABFH")


@dataclass(frozen=True, slots=True)
class Typist:
    """Who entered what a limit rests on, and when; nobody where it came with the record."""

    person: int | None
    since: datetime | None


def machine_of(job: Job, settings: Mapping[str, TestSetting] | None = None) -> Machine:
    """Return what of a job's motor the limits of tests depend on."""
    motor = job.motor
    found: dict[str, object] = {}
    for name, key in PLATE_KEYS.items():
        value = motor.si(key)
        if isinstance(value, int | float):
            found[name] = int(value) if name in WHOLE else float(value)
    percent = motor.si("efficiency_percent") or motor.si("nominal_efficiency")
    weight = motor.si("rotor_weight_n")
    known = settings if settings is not None else settings_of(job)
    winding = known.get(WINDING_KEY)
    return Machine(
        **found,  # type: ignore[arg-type]
        efficiency=percent / 100 if isinstance(percent, int | float) else None,
        year=_year(motor),
        winding=cast(Winding, winding.value) if winding else None,
        insulation_class=_insulation_class(motor),
        vertical=motor.is_vertical,
        code_letter=str(motor.si("code_letter") or "").strip().upper() or None,
        rotation=str(motor.si("rotation") or "") or None,
        rotor_mass_kg=weight / GRAVITY if isinstance(weight, int | float) else None,
    )


def _year(motor: Motor) -> int | None:
    text = str(motor.si("year") or "").strip()
    return int(text) if text.isdigit() and len(text) == 4 else None


def _insulation_class(motor: Motor) -> str | None:
    """Return the letter of the class: plates print "F", "CLASS F" or "F/B" (class and rise)."""
    words = (
        str(motor.si("insulation_class") or "").upper().replace("CLASS", "").replace("INSUL", "").split("/")
    )
    letter = words[0].strip(" .:-")
    return letter if letter in CLASSES else None


def settings_of(job: Job | None) -> dict[str, TestSetting]:
    """Return the settings that count for a job's tests, by key: its own, else the shop's. One query."""
    return {row.key: row for row in TestSetting.objects.for_job(job)}


def typists_of(
    job: Job, settings: Mapping[str, TestSetting], test: str, code: str, entries: Mapping[str, Value]
) -> list[Typist]:
    """Return who typed what the standard's limit of a result rests on: fields of the plate, settings of the job.

    What it rests on is found by leaving it away: where the limit changes, it does.
    """
    machine = machine_of(job, settings)

    def limit(without: str = "", known: Machine = machine) -> Limit | None:
        left = {key: value for key, value in entries.items() if key != without}
        return check_test(test, left, known).result(code).standard

    held, found = limit(), []
    for row in settings.values():
        own = row.key.removeprefix(f"{test}.")
        if own in entries and limit(own) != held:
            found.append(Typist(row.entered_by_id, row.entered_at))
        if row.key == WINDING_KEY and limit(known=machine._replace(winding=None)) != held:
            found.append(Typist(row.entered_by_id, row.entered_at))
    keys = {
        key
        for name, key in PLATE_KEYS.items()
        if getattr(machine, name) is not None and limit(known=machine._replace(**{name: None})) != held
    }
    if machine.year is not None and limit(known=machine._replace(year=None)) != held:
        keys.add("year")
    return [*found, *_plate_typists(job.motor, keys)]


def _plate_typists(motor: Motor, wanted: set[str]) -> list[Typist]:
    """Return who typed each of some fields of a plate last, and when, by the ledger."""
    found: dict[str, Typist] = {}
    if not wanted:
        return []
    for event in Event.objects.filter(subject_type="motor", subject_id=str(motor.pk)).order_by("-id"):
        for key in wanted & set((event.after or {}).get("nameplate") or {}):
            found.setdefault(key, Typist(event.actor_id, event.at))
    return list(found.values())


def settings_entries(test: str, settings: Mapping[str, TestSetting]) -> dict[str, Value]:
    """Return the settings of one test as its entries."""
    start = f"{test}."
    return {
        key.removeprefix(start): _entry(row.value) for key, row in settings.items() if key.startswith(start)
    }


def _entry(text: str) -> Value:
    """Return a kept setting as it was entered: a choice, or a number in its canonical unit."""
    try:
        return float(text)
    except ValueError:
        return text
