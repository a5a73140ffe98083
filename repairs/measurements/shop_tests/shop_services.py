"""What a lead or the engineer sets for shop tests: settings of shop and job, sheets of the steps, instruments."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import plain
from repairs.ledger.services import Actor, record_event
from repairs.measurements.engineering.shape import Field
from repairs.measurements.engineering.subjects import BY_CODE, SUBJECTS, TEST_OF
from repairs.measurements.models import Instrument, ReadingSheet, TestSetting
from repairs.measurements.shop_tests.machine import WINDING_KEY
from repairs.measurements.shop_tests.own_rows import LONGEST_CODE
from repairs.measurements.shop_tests.sheets import OwnRow, Sheet, TestRow, rows_data, sheet_for
from repairs.motors.models import Motor
from repairs.motors.units import QUANTITIES
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.open_job import lock_open_job

MOST_OWN_ROWS: Final = 40
LONGEST_LABEL: Final = 100
# Every rule with its choices, none for a number: how the winding is made, then what decides each test's limits.
SETTINGS: Final[Mapping[str, tuple[str, ...]]] = {
    WINDING_KEY: ("random", "form"),
    **{f"{one.code}.{field.code}": field.choices for one in SUBJECTS for field in one.fields if field.rule},
}


def _may(actor: Actor) -> None:
    if not role_may(actor.role, Permission.EDIT_LIMITS):
        raise WorkOrderError(_("Only a lead or the engineer sets what tests are judged by."))


@transaction.atomic
def enter_setting(*, actor: Actor, job: Job | None, key: str, value: str) -> TestSetting | None:
    """Set what holds for a job's tests, or for the shop's where a job says nothing; an empty value takes it back.

    Tests that were made keep what they were made with.
    """
    _may(actor)
    if job is not None:
        job = lock_open_job(job)
    if key not in SETTINGS:
        raise WorkOrderError(_("Choose a setting from the list."), "key")
    if value:
        _refuse_value(key, value)
    before = TestSetting.objects.current().filter(job=job, key=key).first()
    if (before.value if before else "") == value:
        return before
    TestSetting.objects.current().filter(job=job, key=key).update(replaced_at=timezone.now())
    made = None
    if value:
        made = TestSetting.objects.create(
            job=job, key=key, value=value, entered_by_id=actor.person_id, entered_name=actor.name
        )
    record_event(
        actor=actor,
        verb="test_setting.entered",
        subject=made or before,  # type: ignore[arg-type]
        job_number=job.number if job else "",
        before={"key": key, "value": before.value if before else ""},
        after={"key": key, "value": value},
    )
    return made


@transaction.atomic
def enter_settings(*, actor: Actor, job: Job | None, values: Mapping[str, str]) -> int:
    """Set several rules at once; those that say what they said before stay. Returns how many changed."""
    _may(actor)
    if job is not None:
        job = lock_open_job(job)
    now = {row.key: row.value for row in TestSetting.objects.current().filter(job=job)}
    changed = [key for key, value in values.items() if now.get(key, "") != value]
    for key in changed:
        enter_setting(actor=actor, job=job, key=key, value=values[key])
    return len(changed)


def setting_field(key: str) -> Field | None:
    """Return the field of a test that a setting stands for; None for the winding, which is of the motor."""
    test, _dot, code = key.partition(".")
    return next((one for one in BY_CODE[test].fields if one.code == code), None) if test in BY_CODE else None


def _refuse_value(key: str, value: str) -> None:
    """Refuse what is no choice of a setting, or no number in its range; a number is in the canonical unit."""
    choices, field = SETTINGS[key], setting_field(key)
    if choices and value not in choices:
        raise WorkOrderError(_("Choose a value from the list."), key)
    if not choices and field is not None and not field.low <= float(value) <= field.high:
        words = _("{value} is out of range. Accepted: {low} to {high}.")
        raise WorkOrderError(
            words.format(value=plain(float(value)), low=plain(field.low), high=plain(field.high)), "value"
        )


@transaction.atomic
def change_sheet(
    *, actor: Actor, kind: str, build: str, version: int, tests: Sequence[TestRow], own: Sequence[OwnRow]
) -> ReadingSheet:
    """Make a newer version of a step's sheet, unless somebody made one since it was shown. Old versions stay."""
    _may(actor)
    if kind not in StepKind.values or build not in {"", *Motor.Build.values}:
        raise WorkOrderError(_("Choose a step from the list."), "kind")
    rows = list(ReadingSheet.objects.select_for_update().filter(kind=kind, build=build).order_by("version"))
    newest = rows[-1].version if rows else 0
    if newest != version:
        raise StaleVersionError(_("Someone else changed this sheet. Check it before you save."))
    checked = Sheet(kind, build, newest + 1, tuple(_checked_test(one) for one in tests), _checked_own(own))
    now = timezone.now()
    ReadingSheet.objects.filter(kind=kind, build=build, replaced_at__isnull=True).update(replaced_at=now)
    made = ReadingSheet.objects.create(
        kind=kind,
        build=build,
        version=checked.version,
        rows=rows_data(checked),
        entered_by_id=actor.person_id,
        entered_name=actor.name,
    )
    record_event(
        actor=actor,
        verb="sheet.changed",
        subject=made,
        before={"rows": rows[-1].rows if rows else []},
        after={"kind": kind, "build": build, "version": made.version, "rows": made.rows},
    )
    return made


def _checked_test(row: TestRow) -> TestRow:
    if row.test not in BY_CODE:
        raise WorkOrderError(_("Choose a test from the list."), "tests")
    wrong = [code for code in row.required if TEST_OF.get(code) != row.test]
    if wrong:
        raise WorkOrderError(_("Choose what is required from the results of its test."), "tests")
    return row


def _checked_own(rows: Sequence[OwnRow]) -> tuple[OwnRow, ...]:
    if len(rows) > MOST_OWN_ROWS:
        words = _("{count} rows of your own are too many. Accepted: at most {most}.")
        raise WorkOrderError(words.format(count=len(rows), most=MOST_OWN_ROWS), "own")
    found: dict[str, OwnRow] = {}
    for row in rows:
        label = str(row.label).strip()
        if not label or len(label) > LONGEST_LABEL:
            words = _("Enter what the row asks for, 1 to {most} characters.")
            raise WorkOrderError(words.format(most=LONGEST_LABEL), "own")
        if row.quantity not in QUANTITIES:
            raise WorkOrderError(_("Choose a unit from the list."), "own")
        if row.low is not None and row.high is not None and row.low > row.high:
            raise WorkOrderError(
                _("{row}: the lower limit is above the upper one. Swap them.").format(row=label), "own"
            )
        code = row.code or _free_code(label, found)
        found[code] = replace(row, code=code, label=label)
    return tuple(found.values())


def _free_code(label: str, taken: Mapping[str, OwnRow]) -> str:
    """Return a short code for a row's name that no other row of the sheet has."""
    start = re.sub(r"[^a-z0-9]+", "_", label.casefold())[: LONGEST_CODE - 3].strip("_") or "row"
    return next(code for code in (start, *(f"{start}_{n}" for n in range(2, 99))) if code not in taken)


def sheet_to_edit(kind: str, build: str) -> Sheet:
    """Return a sheet as a lead edits it: the version of this build, begun from what counts for it now."""
    found = sheet_for(kind, build)
    row = ReadingSheet.objects.current().filter(kind=kind, build=build).first()
    if found is None:
        return Sheet(kind, build, 0, ())
    return replace(found, build=build, version=row.version if row else 0)


@transaction.atomic
def keep_instrument(
    *,
    actor: Actor,
    instrument: Instrument | None,
    version: int,
    tag: str,
    name: str,
    calibration_due: date | None,
    active: bool = True,
) -> Instrument:
    """Add an instrument or change one, unless somebody did so since it was shown."""
    _may(actor)
    tag, name = tag.strip(), name.strip()
    if not tag or not name:
        raise WorkOrderError(_("Enter the tag and what the instrument is."), "tag" if not tag else "name")
    namesake = Instrument.objects.filter(tag=tag).first()
    if namesake is not None and (instrument is None or namesake.pk != instrument.pk):
        raise WorkOrderError(_("Another instrument has the tag {tag}.").format(tag=tag), "tag")
    now = Instrument() if instrument is None else Instrument.objects.select_for_update().get(pk=instrument.pk)
    if instrument is not None and now.version != version:
        raise StaleVersionError(_("Someone else changed this instrument. Check it before you save."))
    before = (
        None
        if instrument is None
        else {"tag": now.tag, "due": str(now.calibration_due), "active": now.active}
    )
    now.tag, now.name, now.calibration_due, now.active = tag[:40], name[:80], calibration_due, active
    now.version = now.version if instrument is None else now.version + 1
    now.save()
    record_event(
        actor=actor,
        verb="instrument.kept",
        subject=now,
        before=before,
        after={"tag": now.tag, "due": str(now.calibration_due), "active": now.active},
    )
    return now
