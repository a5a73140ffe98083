"""Seats: judged when they are written, frozen when signed, corrected by a new record, let pass by a lead only."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from repairs.ledger.models import Event
from repairs.measurements.models import SeatPlace, SeatRecord
from repairs.measurements.seat_doubts import seat_doubts
from repairs.measurements.seat_services import accept_seat, change_seat, correct_seat, record_seat
from repairs.measurements.seat_standing import seat_pairs, seats_are_good
from repairs.measurements.seat_words import limits_text, reason_sentences, source_text, zone_text
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import StepKind
from repairs.work_orders.services.opening import close_job
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.measurements.seats import GOOD, LOW, entry

pytestmark = [pytest.mark.django_db, pytest.mark.data]
D = Decimal


def test_a_seat_is_kept_with_limits_source_verdict_figures_and_event():
    job, actor = make_job(), actor_for(make_user())
    seat = record_seat(actor=actor, job=job, entry=entry(), sign=True)
    stored = SeatRecord.objects.get(pk=seat.pk)
    assert (stored.zone, stored.limits_from) == ("k5", "rule")
    assert (stored.low_mm, stored.high_mm, stored.verdict) == (D("100.003"), D("100.018"), "pass")
    # ISO 492 Normal bore 0..-20; a seat of +9..+13 µm over it: 9 to 33 µm of interference
    assert stored.figures["ring_um"] == ["-20", "0"]
    assert stored.figures["fits"]["seat_measured"] == ["33", "9"]
    assert stored.planes_mm[0] == ["100.009", "100.011"]
    assert stored.sizes_mm == (D("100.009"), D("100.011"), D("100.013"))
    event = Event.objects.of_job(job.number)[0]
    assert (event.verb, event.after["verdict"], event.after["readings"][0][0]) == (
        "seat.recorded",
        "pass",
        "100.009",
    )
    assert "from memory, unverified" in source_text(stored)


def test_inches_become_millimetres_exactly():
    # 3.9374 in x 25.4 = 100.00996 mm; the limits of 100 k5 in inches, rounded into the zone: 3.93713 and 3.93771
    planes = (("3.9374", "3.9375"),) * 3
    seat = record_seat(actor=actor_for(make_user()), job=make_job(), entry=entry(planes, unit="in"))
    assert seat.planes_mm[0] == ["100.00996", "100.01250"]
    assert seat.verdict == "pass"
    assert limits_text(seat, "us") == "3.93713\u00a0in to 3.93771\u00a0in"
    for inches in ("3.93713", "3.93771"):
        assert D("100.003") <= D(inches) * D("25.4") <= D("100.018")


def test_the_drawing_comes_before_the_rule_and_must_be_named():
    actor, job = actor_for(make_user()), make_job()
    asked = {"zone": "m5", "limits_from": "drawing"}
    with pytest.raises(WorkOrderError, match="Enter the drawing or PO") as refusal:
        record_seat(actor=actor, job=job, entry=entry(**asked))
    assert refusal.value.field == "limits_source"
    seat = record_seat(actor=actor, job=job, entry=entry(**asked, limits_source="D-4410"))
    assert (seat.zone, seat.limits_from, seat.verdict) == ("m5", "drawing", "fail")
    assert source_text(seat) == "m5 (ISO 286-2), drawing D-4410"


def test_sizes_on_a_drawing_need_no_zone():
    seat = record_seat(
        actor=actor_for(make_user()),
        job=make_job(),
        entry=entry(low_mm=D("100.005"), high_mm=D("100.015"), limits_from="order", limits_source="88-4410"),
    )
    assert (seat.zone, seat.verdict, source_text(seat)) == ("", "pass", "PO 88-4410")
    assert (
        source_text(seat, to_customer=True)
        == zone_text(seat, to_customer=True)
        == "purchase order (PO) 88-4410"
    )


@pytest.mark.parametrize(
    ("place", "zone", "words"),
    [(SeatPlace.MOUNT, "H6", "small letter"), (SeatPlace.HOUSING_THRUST, "k5", "capital letter")],
)
def test_a_zone_of_the_other_kind_is_refused_beside_its_field(place, zone, words):
    with pytest.raises(WorkOrderError, match=words) as refusal:
        record_seat(
            actor=actor_for(make_user()),
            job=make_job(),
            entry=entry(place=place, zone=zone, limits_from="drawing", limits_source="D-1"),
        )
    assert refusal.value.field == "zone"


def test_a_zone_that_no_table_holds_is_refused_by_name():
    asked = entry(zone="k9", limits_from="drawing", limits_source="D-1")
    with pytest.raises(WorkOrderError, match="k9") as refusal:
        record_seat(actor=actor_for(make_user()), job=make_job(), entry=asked)
    assert refusal.value.field == "zone"


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"planes": GOOD[:2]}, "three planes"),
        ({"planes": (("100.010", ""), *GOOD[1:])}, "two angles in plane 1"),
        ({"gauge": "unknown"}, "temperature not entered"),
        ({"bearing": {}}, "No zone"),
        ({"planes": (("", ""),) * 3}, "No readings"),
    ],
)
def test_what_is_not_known_is_not_checked_and_named(fields, reason):
    planes = fields.pop("planes", GOOD)
    seat = record_seat(actor=actor_for(make_user()), job=make_job(), entry=entry(planes, **fields))
    assert seat.verdict == "not_checked"
    assert any(reason in sentence for sentence in reason_sentences(seat, "si"))


def test_no_fit_is_told_while_the_class_of_the_bearing_or_the_warmth_is_unknown():
    actor = actor_for(make_user())
    classless = record_seat(actor=actor, job=make_job(), entry=entry(tolerance_class=""))
    assert classless.figures["fits"] == {"by_tolerance": None, "seat_measured": None, "measured": None}
    warm = record_seat(actor=actor, job=make_job(), entry=entry(gauge="at_20", ring_mm=D("99.99")))
    assert warm.figures["fits"]["measured"] is None


def test_a_thrust_washer_is_held_against_iso_199_and_its_housing_has_no_zone():
    # ISO 286-2 160 k6 3..28 over ISO 199 bore 0..-25: 3 to 53 µm
    roller = {"ref": "1", "type": "spherical_roller_thrust", "designation": "29432"}
    planes = (("160.010", "160.012"),) * 3
    asked = {"nominal_mm": D(160), "bearing": roller}
    seat = record_seat(actor=actor_for(make_user()), job=make_job(), entry=entry(planes, **asked))
    assert (seat.zone, seat.figures["fits"]["by_tolerance"]) == ("k6", ["53", "3"])
    planes = (("320.5", "320.5"),) * 3
    asked = {"nominal_mm": D(320), "bearing": roller, "place": SeatPlace.HOUSING_THRUST}
    housing = record_seat(actor=actor_for(make_user()), job=make_job(), entry=entry(planes, **asked))
    assert (housing.verdict, housing.limits_from) == ("not_checked", "none")


@pytest.mark.parametrize(
    ("planes", "unit", "words"),
    [
        ((("3.9374", "3.9374"),) * 3, "mm", "looks like inches"),
        ((("100.010", "100.010"),) * 3, "in", "looks like millimeters"),
        ((("110.010", "110.010"),) * 3, "mm", "far from the nominal size of 100 mm"),
        ((("100.130", "100.010"), *GOOD[1:]), "mm", "0.1 mm off the other"),
        ((("100013", "100.010"), *GOOD[1:]), "mm", "far from"),
    ],
)
def test_an_unlikely_reading_is_asked_about_and_kept_once_confirmed(planes, unit, words):
    actor, job = actor_for(make_user()), make_job()
    asked = entry(planes, unit=unit)
    assert any(words in doubt for doubt in seat_doubts(asked))
    with pytest.raises(WorkOrderError, match=words) as refusal:
        record_seat(actor=actor, job=job, entry=asked)
    assert (refusal.value.field, SeatRecord.objects.count()) == ("confirmed", 0)
    assert record_seat(actor=actor, job=job, entry=entry(planes, unit=unit, confirmed=True)).confirmed


def test_a_bearing_that_measures_far_from_its_size_is_asked_about():
    doubts = seat_doubts(entry(ring_typed="99.5", ring_mm=D("99.5")))
    assert doubts == ["The bearing as measured, 99.5 mm, is far from its nominal size of 100 mm."]
    assert seat_doubts(entry(ring_typed="99.99", ring_mm=D("99.99"))) == []


def test_a_record_is_changed_by_its_version_until_it_is_signed():
    job, actor = make_job(), actor_for(make_user())
    seat = record_seat(actor=actor, job=job, entry=entry(GOOD[:1]))
    later = change_seat(actor=actor, seat=seat, version=1, entry=entry(), sign=True)
    assert (later.version, later.verdict, later.is_signed) == (2, "pass", True)
    with pytest.raises(StaleVersionError):
        change_seat(actor=actor, seat=seat, version=1, entry=entry())
    with pytest.raises(WorkOrderError, match="signed"):
        change_seat(actor=actor, seat=seat, version=2, entry=entry())
    assert [event.verb for event in Event.objects.of_job(job.number)][:2] == ["seat.changed", "seat.recorded"]


def test_another_person_sets_the_gauge_again_before_going_on():
    job, first, second = make_job(), actor_for(make_user()), actor_for(make_user())
    seat = record_seat(actor=first, job=job, entry=entry(GOOD[:1]))
    with pytest.raises(WorkOrderError, match="Re-zero") as refusal:
        change_seat(actor=second, seat=seat, version=1, entry=entry())
    assert refusal.value.field == "zeroed"
    assert (
        change_seat(actor=second, seat=seat, version=1, entry=entry(zeroed=True)).person_name == second.name
    )


def test_one_seat_has_one_unsigned_record():
    job, actor = make_job(), actor_for(make_user())
    record_seat(actor=actor, job=job, entry=entry(GOOD[:1]))
    with pytest.raises(WorkOrderError, match="Continue that record"):
        record_seat(actor=actor, job=job, entry=entry())
    seat = SeatRecord.objects.get()
    seat.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        seat.save()


@pytest.mark.parametrize(
    ("fields", "words"),
    [({"instrument": ""}, "Enter the instrument"), ({"planes": (("",),) * 3}, "No readings")],
)
def test_nothing_is_signed_without_an_instrument_or_a_reading(fields, words):
    planes = fields.pop("planes", GOOD)
    with pytest.raises(WorkOrderError, match=words):
        record_seat(actor=actor_for(make_user()), job=make_job(), entry=entry(planes, **fields), sign=True)
    assert SeatRecord.objects.count() == 0


def test_a_correction_is_a_new_record_with_a_reason_and_the_first_stays():
    job, actor = make_job(), actor_for(make_user())
    first = record_seat(actor=actor, job=job, entry=entry(LOW), sign=True)
    with pytest.raises(WorkOrderError, match="why"):
        correct_seat(actor=actor, seat=first, entry=entry(), reason=" ")
    second = correct_seat(actor=actor, seat=first, entry=entry(), reason="the gauge was not zeroed")
    assert (second.replaces, second.is_signed, second.verdict) == (first, True, "pass")
    assert list(SeatRecord.objects.of_job(job).standing()) == [second]
    assert SeatRecord.objects.get(pk=first.pk).verdict == "fail"
    with pytest.raises(WorkOrderError, match="already corrected"):
        correct_seat(actor=actor, seat=first, entry=entry(), reason="again")
    unsigned = record_seat(actor=actor, job=job, entry=entry(name="lower"))
    with pytest.raises(WorkOrderError, match="not signed yet"):
        correct_seat(actor=actor, seat=unsigned, entry=entry(name="lower"), reason="x")


def test_an_ended_job_takes_no_more_seats():
    job, actor = make_job(), actor_for(make_user())
    close_job(actor=actor_for(make_user("office")), job=job, cancelled=True, reason="scrapped")
    with pytest.raises(WorkOrderError, match="ended"):
        record_seat(actor=actor, job=job, entry=entry())


def mounting(job):
    reasons = blocking_reasons(job.steps.get(kind=StepKind.MOUNT), actor=actor_for(make_user()))
    return [reason for reason in reasons if "out of limits" in reason]


def test_a_seat_that_failed_keeps_the_stack_from_being_mounted_until_it_passes_as_left():
    job, actor = make_job(), actor_for(make_user())
    assert mounting(job) == []
    record_seat(actor=actor, job=job, entry=entry(LOW), sign=True)
    assert len(mounting(job)) == 1
    assert "bearing 1, thrust bearing seat on the mount" in mounting(job)[0]
    left = record_seat(actor=actor, job=job, entry=entry(moment="as_left"))
    assert len(mounting(job)) == 1, "an unsigned record opens no gate"
    change_seat(actor=actor, seat=left, version=1, entry=entry(moment="as_left"), sign=True)
    assert mounting(job) == []


def test_a_seat_as_left_that_is_not_checked_opens_nothing_after_a_failure():
    job, actor = make_job(), actor_for(make_user())
    record_seat(actor=actor, job=job, entry=entry(LOW), sign=True)
    record_seat(actor=actor, job=job, entry=entry(GOOD[:2], moment="as_left"), sign=True)
    assert len(mounting(job)) == 1


def test_a_seat_that_was_never_checked_and_a_pass_close_nothing():
    job, actor = make_job(), actor_for(make_user())
    record_seat(actor=actor, job=job, entry=entry(GOOD[:2]), sign=True)
    record_seat(actor=actor, job=job, entry=entry(name="lower"), sign=True)
    assert mounting(job) == []


def test_a_lead_lets_a_failed_seat_pass_with_a_reason():
    job, worker, lead = make_job(), actor_for(make_user()), actor_for(make_user("lead"))
    seat = record_seat(actor=worker, job=job, entry=entry(LOW), sign=True)
    with pytest.raises(WorkOrderError, match="lead"):
        accept_seat(actor=worker, seat=seat, reason="it will do")
    with pytest.raises(WorkOrderError, match="why"):
        accept_seat(actor=lead, seat=seat, reason="  ")
    accepted = accept_seat(actor=lead, seat=seat, reason="customer agrees, order 88-4410")
    assert (accepted.accepted_name, mounting(job)) == (lead.name, [])
    event = Event.objects.of_job(job.number)[0]
    assert (event.verb, event.reason) == ("seat.accepted", "customer agrees, order 88-4410")
    with pytest.raises(WorkOrderError, match="already"):
        accept_seat(actor=lead, seat=seat, reason="again")


def test_a_seat_that_passed_or_is_not_signed_needs_no_lead():
    job, worker, lead = make_job(), actor_for(make_user()), actor_for(make_user("lead"))
    good = record_seat(actor=worker, job=job, entry=entry(), sign=True)
    open_one = record_seat(actor=worker, job=job, entry=entry(LOW, name="lower"))
    for seat in (good, open_one):
        with pytest.raises(WorkOrderError, match="signed seat that did not pass"):
            accept_seat(actor=lead, seat=seat, reason="why not")


def test_a_worse_seat_as_left_is_not_covered_by_what_was_accepted_as_found(django_assert_num_queries):
    job, worker, lead = make_job(), actor_for(make_user()), actor_for(make_user("lead"))
    found = record_seat(actor=worker, job=job, entry=entry(LOW), sign=True)
    accept_seat(actor=lead, seat=found, reason="customer agrees")
    left = record_seat(actor=worker, job=job, entry=entry(LOW, moment="as_left"), sign=True)
    (pair,) = seat_pairs(SeatRecord.objects.of_job(job).standing())
    assert pair.stands_in_the_way == left
    step = job.steps.get(kind=StepKind.FINAL_TEST)
    with django_assert_num_queries(1):
        assert len(seats_are_good(step, worker)) == 1
