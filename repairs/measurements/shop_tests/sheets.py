"""What a step asks to be measured: shop tests and rows of the shop's own. A lead's version, else the standard one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from repairs.measurements.models import ReadingSheet, TestRecord
from repairs.work_orders.models import Step, StepKind

_L = gettext_lazy
OwnAnswer = Literal["number", "yes_no", "text"]
OWN: Final = "own"
STANDARD_VERSION: Final = 0


@dataclass(frozen=True, slots=True)
class TestRow:
    """One shop test of a sheet; ``required`` results keep the step from being signed until they pass."""

    __test__ = False

    test: str
    required: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnRow:
    """One row of the shop's own: a number in a unit, yes or no, or a few words.

    ``must`` is the answer without which a yes-or-no row fails; ``low`` and ``high`` the limits of a number.
    """

    code: str
    label: str | Promise
    answer: OwnAnswer = "number"
    quantity: str = "plain"
    low: float | None = None
    high: float | None = None
    must: str = ""
    required: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """The sheet of a kind of step on a build of motor."""

    kind: str
    build: str
    version: int
    tests: tuple[TestRow, ...]
    own: tuple[OwnRow, ...] = ()


def _sheet(kind: str, tests: Iterable[str | TestRow], own: tuple[OwnRow, ...] = (), build: str = "") -> Sheet:
    rows = tuple(one if isinstance(one, TestRow) else TestRow(one) for one in tests)
    return Sheet(kind, build, STANDARD_VERSION, rows, own)


def _yes(code: str, label: str | Promise, *, must: str = "", required: bool = False) -> OwnRow:
    return OwnRow(code, label, "yes_no", must=must, required=required)


def _text(code: str, label: str | Promise) -> OwnRow:
    return OwnRow(code, label, "text")


# What a shop measures at each step of a vertical motor: common practice, no source. A lead changes it.
STANDARD: Final[tuple[Sheet, ...]] = (
    _sheet(
        StepKind.INCOMING_TEST,
        ("insulation", "winding_resistance", "surge", "sensors", "no_load", "vibration"),
        (
            _yes("turns_by_hand", _L("Shaft turns by hand")),
            _text("oil_found", _L("Oil: level, color, metal, water")),
            _yes("ratchet_found", _L("Non-reverse ratchet holds")),
        ),
    ),
    _sheet(
        StepKind.STRIP_RECORD,
        ("end_play", "air_gap"),
        (
            _text("nut_position", _L("Lock nut: turns or flats, thread showing, lock type")),
            OwnRow("stand_tube", _L("Stand tube height"), quantity="length"),
            OwnRow("spring_height", _L("Spring free height"), quantity="length"),
            OwnRow("spring_count", _L("Springs, number")),
        ),
    ),
    _sheet(StepKind.CLEAN, ("oven", "insulation")),
    _sheet(StepKind.MEASURE, ("shaft_runout", "sensors")),
    _sheet(
        StepKind.WINDING,
        ("core_test", "oven", "winding_resistance", "insulation", "surge", "high_potential"),
        (
            OwnRow("slots", _L("Slots")),
            OwnRow("coil_groups", _L("Coil groups")),
            OwnRow("turns", _L("Turns a coil")),
            _text("wire", _L("Wire: size and strands")),
            _text("pitch", _L("Pitch")),
            _text("winding_connection", _L("Connection and circuits")),
            OwnRow("extension_top", _L("Coil extension, connection end"), quantity="length"),
            OwnRow("extension_low", _L("Coil extension, other end"), quantity="length"),
        ),
    ),
    _sheet(StepKind.BALANCE, ("balance",)),
    _sheet(
        StepKind.END_PLAY,
        (
            TestRow("end_play", ("end_play",)),
            TestRow("shaft_runout", ("runout",)),
            "air_gap",
            "lock_nut",
            "lubricant",
            "shaft_voltage",
        ),
        (
            _yes("nut_lock", _L("Nut lock engaged")),
            _yes("ratchet_drops", _L("Non-reverse ratchet pins drop freely")),
        ),
    ),
    _sheet(
        StepKind.FINAL_TEST,
        (
            TestRow("insulation", ("insulation",)),
            "winding_resistance",
            "high_potential",
            "no_load",
            TestRow("vibration", ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")),
            "run_temperatures",
            "shaft_voltage",
            "sensors",
        ),
        (
            _yes("rotation_checked", _L("Rotation as the arrow shows, as seen from the top")),
            _yes("ratchet_holds", _L("Non-reverse ratchet holds (by hand, locked out)")),
            _yes("no_leaks", _L("No oil leaks")),
        ),
    ),
)


def sheet_of(step: Step) -> Sheet | None:
    """Return what a step asks for: the newest version for the motor's build, else for any, else the standard one."""
    return sheet_for(step.kind, step.job.motor.build)


def sheet_for(kind: str, build: str) -> Sheet | None:
    """Return the sheet of a kind of step on a build of motor. One query."""
    return sheets_for({kind}, build)[kind]


def sheets_for(kinds: Iterable[str], build: str) -> dict[str, Sheet | None]:
    """Return the sheets of some kinds of step on a build of motor. One query, however many they are."""
    asked = set(kinds)
    rows = list(ReadingSheet.objects.current().filter(kind__in=asked, build__in=("", build)))
    return {kind: pick_sheet(rows, kind, build) for kind in asked}


def pick_sheet(rows: Iterable[ReadingSheet], kind: str, build: str) -> Sheet | None:
    """Return the sheet that counts of some current ones: that of the build, that for all, the standard one."""
    fitting = [row for row in rows if row.kind == kind and row.build in {"", build}]
    found = max(fitting, key=lambda row: row.build, default=None)
    if found is not None:
        return Sheet(kind, found.build, found.version, *rows_of(found.rows))
    return next((one for one in STANDARD if one.kind == kind), None)


def sheets_of_records(records: Iterable[TestRecord]) -> dict[int, Sheet]:
    """Return the sheet that each test was made by, as it was that day: one query, none for standard sheets."""
    made = [record for record in records if record.step is not None]
    kinds = {record.step.kind for record in made if record.step and record.sheet_version != STANDARD_VERSION}
    kept = list(ReadingSheet.objects.filter(kind__in=kinds)) if kinds else []
    found = {record.pk: _sheet_that_day(record, kept) for record in made}
    return {pk: sheet for pk, sheet in found.items() if sheet is not None}


def _sheet_that_day(record: TestRecord, kept: Iterable[ReadingSheet]) -> Sheet | None:
    kind = record.step.kind if record.step else ""
    if record.sheet_version == STANDARD_VERSION:
        return next((one for one in STANDARD if one.kind == kind), None)
    builds = ("", record.job.motor.build)
    rows = [
        row
        for row in kept
        if (row.kind, row.version) == (kind, record.sheet_version)
        and row.build in builds
        and row.entered_at <= record.at
    ]
    row = max(rows, key=lambda one: one.build, default=None)
    return None if row is None else Sheet(kind, row.build, row.version, *rows_of(row.rows))


def rows_of(data: Iterable[Mapping[str, Any]]) -> tuple[tuple[TestRow, ...], tuple[OwnRow, ...]]:
    """Return the rows of a kept sheet: its tests, then the shop's own."""
    tests = tuple(TestRow(one["test"], tuple(one.get("required", ()))) for one in data if "test" in one)
    return tests, tuple(OwnRow(**one) for one in data if "code" in one)


def rows_data(sheet: Sheet) -> list[dict[str, Any]]:
    """Return the rows of a sheet as JSON holds them."""
    tests: list[dict[str, Any]] = [{"test": one.test, "required": list(one.required)} for one in sheet.tests]
    names = OwnRow.__dataclass_fields__
    return tests + [
        {**{name: getattr(one, name) for name in names}, "label": str(one.label)} for one in sheet.own
    ]
