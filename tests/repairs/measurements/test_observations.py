"""Damage found on parts: keyed to the stack as found, cause apart from mode, frozen and corrected by rows."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from repairs.ledger.models import Event
from repairs.measurements.engineering.tables import damage_modes
from repairs.measurements.models import Observation
from repairs.measurements.observations.presenting import observation_words
from repairs.measurements.observations.services import (
    ObservationEntry,
    correct_observation,
    record_observation,
    withdraw_observation,
)
from repairs.measurements.words import damage
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services.pictures import add_photos, withdraw_photo
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file

pytestmark = [pytest.mark.django_db, pytest.mark.data]
FLAKED = {"part": "b1", "mode": "5.1.2", "element": "inner", "confidence": "certain"}
CAUSED = {
    "cause": "upthrust with no preload",
    "cause_evidence": "track on the unloaded shoulder, photo 2",
    "cause_confidence": "likely",
    "mounted_by_us": "no",
}


def job_with_stack() -> Job:
    return make_stack_record(make_job(), Stage.AS_FOUND).job


def note(job: Job, **fields: Any) -> Observation:
    return record_observation(actor=actor_for(make_user()), job=job, entry=ObservationEntry(**fields))


def refused(job: Job, field: str, **fields: Any) -> str:
    with pytest.raises(WorkOrderError) as told:
        note(job, **fields)
    assert told.value.field == field
    assert not Observation.objects.exists()
    return str(told.value)


def test_every_mode_has_words_and_the_heads_are_surer_than_the_subclauses():
    """ISO 15243:2017: heads seen in copies, subclauses from memory."""
    assert set(damage.MODES) == set(damage_modes.BY_CODE)
    assert set(damage.HEADS) == {*damage_modes.HEADS, ""}
    assert damage_modes.HEADS_SOURCE.sureness == "secondary"
    numbered = [mode for mode in damage_modes.MODES if mode.source]
    assert {mode.source.sureness for mode in numbered} == {"memory"}
    assert [mode.code for mode in damage_modes.MODES if mode.source is None] == ["none", "undetermined"]
    assert (numbered[0].code, numbered[-1].code, len(numbered)) == ("5.1.2", "5.6.4", 15)
    assert all(mode.code.startswith(f"{mode.head}.") for mode in numbered)
    assert "from memory, unverified" in damage.terms_source()


def test_an_observation_is_keyed_to_its_item_as_the_record_named_it_that_day():
    job = job_with_stack()
    row = note(
        job, **FLAKED, load_zone_deg=Decimal(150), location="at the match mark", extent="2 flakes, 4 mm"
    )
    record = StackRecord.objects.get()
    assert (row.stack_record, row.item_uid, row.designation) == (record, "b1", "7320")
    StackRecord.objects.update(items=[])
    words = observation_words(Observation.objects.get())
    assert words["part"] == "Bearing 1, 7320 · 40°, mark 41"
    assert words["mode"] == "Subsurface-initiated fatigue (5.1.2)"
    assert words["place"] == "inner ring, load zone 150°, at the match mark"
    assert words["cause"] == ""
    event = Event.objects.get(verb="observation.recorded")
    assert event.after["name"].startswith("Bearing 1, 7320")


def test_the_edition_of_the_book_is_kept_with_the_designation():
    job = job_with_stack()
    items = StackRecord.objects.get().items
    items[1]["data"]["source"] = "Maker A (invented), tables, edition 3"
    StackRecord.objects.update(items=items)
    assert note(job, **FLAKED).edition == "Maker A (invented), tables, edition 3"


def test_any_other_part_goes_by_its_name():
    row = note(make_job(), part_name=" Ratchet pin ", mode="5.2.2", confidence="possible")
    assert observation_words(row)["part"] == "Ratchet pin"
    assert row.item_uid == ""


def test_a_part_must_be_named_and_be_on_the_list():
    job = job_with_stack()
    assert "enter the part's name" in refused(job, "part_name", mode="5.2.2", confidence="certain")
    assert "not in the stack as found" in refused(job, "part", **{**FLAKED, "part": "b9"})


def test_what_is_seen_how_sure_and_where_on_a_bearing_are_asked():
    job = job_with_stack()
    refused(job, "mode", **{**FLAKED, "mode": "5.9.9"})
    refused(job, "confidence", **{**FLAKED, "confidence": ""})
    refused(job, "element", **{**FLAKED, "element": ""})
    refused(job, "load_zone_deg", **FLAKED, load_zone_deg=Decimal("360.5"))
    refused(job, "load_zone_deg", **FLAKED, load_zone_deg=Decimal(0))
    assert note(job, **FLAKED, load_zone_deg=Decimal(360)).load_zone_deg == 360


def test_a_cause_without_evidence_is_refused_and_evidence_without_a_cause_too():
    job = job_with_stack()
    words = refused(job, "cause_evidence", **FLAKED, **{**CAUSED, "cause_evidence": "  "})
    assert "Enter the evidence" in words
    refused(job, "cause", **FLAKED, **{**CAUSED, "cause": ""})
    refused(job, "cause_confidence", **FLAKED, **{**CAUSED, "cause_confidence": ""})
    refused(job, "mounted_by_us", **FLAKED, **{**CAUSED, "mounted_by_us": ""})
    row = note(job, **FLAKED, **CAUSED)
    words = observation_words(row)
    assert (words["cause"], words["cause_confidence"], words["mounted"]) == (CAUSED["cause"], "likely", "no")
    assert words["mode"] == "Subsurface-initiated fatigue (5.1.2)"


def test_the_database_keeps_a_cause_from_standing_without_evidence():
    by = make_user()
    fields = {"job": make_job(), "person": by, "person_name": "x", "mode": "none", "confidence": "certain"}
    with pytest.raises(IntegrityError), transaction.atomic():
        Observation.objects.create(**fields, part_name="fan", cause="heat")
    with pytest.raises(IntegrityError), transaction.atomic():
        Observation.objects.create(**fields)


def test_a_sound_part_has_neither_extent_nor_cause_and_needs_no_place():
    job = job_with_stack()
    sound = {"part": "b2", "mode": "none", "confidence": "certain"}
    refused(job, "mode", **sound, extent="all around")
    refused(job, "mode", **sound, **CAUSED)
    assert observation_words(note(job, **sound))["mode"] == "No damage found"


def test_a_mode_that_nobody_can_tell_is_damage():
    assert damage_modes.is_damage("undetermined")
    assert not damage_modes.is_damage("none")
    assert not damage_modes.is_damage("5.9")
    job = job_with_stack()
    note(job, **{**FLAKED, "mode": "undetermined"})
    note(job, part="b2", mode="none", confidence="certain")
    assert Observation.objects.standing().damaged().count() == 1


def test_a_photo_must_be_of_this_job_and_not_withdrawn():
    job, actor = job_with_stack(), actor_for(make_user())
    (mine,) = add_photos(actor=actor, job=job, files=[picture_file()])
    (others,) = add_photos(actor=actor, job=make_job(), files=[picture_file(size=(65, 48))])
    refused(job, "photo", **FLAKED, photo=others.pk)
    assert note(job, **FLAKED, photo=mine.pk).photo == mine
    Observation.objects.all()._raw_delete("default")
    withdraw_photo(actor=actor, job_photo=mine, reason="blurred")
    refused(job, "photo", **FLAKED, photo=mine.pk)


def test_a_photo_of_the_specified_stack_shows_nothing_that_was_found():
    job, actor = job_with_stack(), actor_for(make_user())
    record = make_stack_record(job, Stage.SPECIFIED)
    (hidden,) = add_photos(actor=actor, job=job, files=[picture_file()], stack_record=record)
    refused(job, "photo", **FLAKED, photo=hidden.pk)


def test_a_correction_takes_the_place_and_the_first_stays():
    job, actor = job_with_stack(), actor_for(make_user())
    first = note(job, **FLAKED)
    entry = ObservationEntry(**{**FLAKED, "mode": "5.1.3"})
    with pytest.raises(WorkOrderError, match="why the observation is changed"):
        correct_observation(actor=actor, observation=first, entry=entry, reason=" ")
    second = correct_observation(actor=actor, observation=first, entry=entry, reason="seen under the lens")
    assert list(Observation.objects.of_job(job).standing()) == [second]
    assert Observation.objects.get(pk=first.pk).mode == "5.1.2"
    with pytest.raises(WorkOrderError, match="already corrected"):
        correct_observation(actor=actor, observation=first, entry=entry, reason="again")
    event = Event.objects.get(verb="observation.corrected")
    assert (event.before["mode"], event.after["mode"], event.reason) == (
        "5.1.2",
        "5.1.3",
        "seen under the lens",
    )


def test_a_correction_still_names_a_part_that_a_revision_took_off_the_list():
    job = job_with_stack()
    first = note(job, **FLAKED)
    make_stack_record(job, Stage.AS_FOUND, revision=2, items=[])
    entry = ObservationEntry(**{**FLAKED, "extent": "5 flakes"})
    second = correct_observation(
        actor=actor_for(make_user()), observation=first, entry=entry, reason="counted again"
    )
    assert (second.item_uid, second.designation, second.extent) == ("b1", "7320", "5 flakes")


def test_a_withdrawn_observation_stands_no_more():
    job = job_with_stack()
    first = note(job, **FLAKED, **CAUSED)
    row = withdraw_observation(
        actor=actor_for(make_user()), observation=first, reason="another motor's bearing"
    )
    assert not Observation.objects.of_job(job).standing().exists()
    assert (row.withdrawn, row.replaces, row.mode, row.cause) == (True, first, "5.1.2", CAUSED["cause"])


def test_bearings_found_damaged_are_counted_by_designation_and_edition_over_jobs_and_motors():
    jobs = [job_with_stack() for _n in range(2)]
    again = make_job(jobs[0].motor)
    make_stack_record(again, Stage.AS_FOUND)
    for job in (*jobs, again):
        note(job, **FLAKED)
    note(jobs[0], **{**FLAKED, "part": "b2"})
    note(jobs[1], part="b3", mode="none", confidence="certain")
    rows = list(Observation.objects.by_bearing(["7320"]))
    assert rows == [{"designation": "7320", "edition": "", "jobs": 3, "motors": 2}]
