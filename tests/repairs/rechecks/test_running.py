"""A run of the re-check: whose outcome changed, from what to what; what was stored stays as it was."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bearings.public import StoredAssessment
from repairs.ledger.models import Event
from repairs.ledger.services import SYSTEM
from repairs.long_work.models import LongWork
from repairs.long_work.services import run_long_work
from repairs.motors.services import change_motor
from repairs.rechecks import judging, running
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.running import run_recheck
from repairs.rechecks.services import (
    RecheckError,
    ask_recheck,
    begin_recheck,
    mark_rest_seen,
    mark_seen,
)
from repairs.work_orders.models import Stage
from repairs.work_orders.services.policy import DEFAULTS, change_policy, shop_policy
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.rechecks.stacks import edition, in_service, items_from, printed, signed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def run(**fields) -> Recheck:
    return run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND, **fields))


def set_policy(**limits) -> None:
    policy = shop_policy()
    change_policy(
        actor=actor_for(make_user("lead")),
        version=policy.version,
        name="Shop",
        address="",
        limits={**{name: DEFAULTS[name] for name in ("minimum_speed_margin",)}, **limits},
        set_factors={},
    )


def set_plate(motor, **values) -> None:
    plate = {**motor.nameplate}
    for name, si in values.items():
        plate[name] = {"state": "read", "typed": str(si), "unit": "", "si": si}
    change_motor(actor=actor_for(make_user("lead")), motor=motor, version=motor.version, nameplate=plate)
    motor.refresh_from_db()


def test_a_run_in_which_nothing_changed_stores_nothing_but_its_counts():
    signed(make_job())
    stored = StoredAssessment.objects.count()
    recheck = run()
    assert (recheck.checked, recheck.changed, recheck.became_stop) == (1, 0, 0)
    assert recheck.finished_at
    assert not Change.objects.exists()
    assert StoredAssessment.objects.count() == stored


def test_the_same_inputs_to_the_same_checker_are_not_judged_again(monkeypatch):
    signed(make_job())
    monkeypatch.setattr(judging, "judge_read", lambda *_: pytest.fail("judged although nothing is different"))
    assert run().checked == 1


@pytest.mark.parametrize("what", ["checker", "policy", "plate", "book"])
def test_another_checker_policy_plate_or_book_has_a_stack_judged_again(monkeypatch, what):
    record = signed(make_job(), Stage.SPECIFIED, printed(edition(2019)))
    if what == "checker":
        monkeypatch.setattr(judging, "checker_build", lambda: "another")
    elif what == "policy":
        set_policy(minimum_speed_margin=0.04)
    elif what == "plate":
        set_plate(record.job.motor, rated_speed_rpm=1100.0)
    else:
        printed(edition(2024), 2300.0)
    asked = []
    judge = judging.judge_read
    monkeypatch.setattr(judging, "judge_read", lambda *given: asked.append(given) or judge(*given))
    run()
    assert len(asked) == 1


def test_a_headline_that_turned_is_a_change_though_no_finding_came_or_went():
    record = signed(make_job())
    stored = StoredAssessment.objects.get(pk=record.assessment_id)
    now = stored.answer["headline"]["verdict"]
    before = "stop" if now == "not_proven" else "not_proven"
    answer = {
        **stored.answer,
        "build": "another",
        "headline": {**stored.answer["headline"], "verdict": before},
    }
    StoredAssessment.objects.filter(pk=stored.pk).update(answer=answer)
    run()
    (change,) = Change.objects.all()
    assert (change.worst_before, change.worst_after or "ok") == (before, now)
    assert not change.appeared
    assert not change.gone


def test_a_newer_edition_with_a_lower_speed_turns_a_job_to_stop_and_says_from_what_to_what():
    old = printed(edition(2019))
    record = signed(make_job(), Stage.SPECIFIED, old)
    before = StoredAssessment.objects.filter(pk=record.assessment_id).values().get()
    new = printed(edition(2024), 2300.0)
    recheck = run()
    (change,) = Change.objects.all()
    # 0.70 of the single bearing's speed, against 1800 synchronous; the set factor is common practice, no source.
    assert change.margin_before == pytest.approx(0.70 * 2700 / 1800 - 1)
    assert change.margin_after == pytest.approx(0.70 * 2300 / 1800 - 1)
    assert (change.speed_after, change.worst_after, change.became_stop) == ("synchronous", "stop", True)
    assert [name for _ref, name, *_pair in change.renewed] == ["limiting_speed_rpm"] * 3
    assert change.renewals[0]["changes"] == {"limiting_speed_rpm": [2700, 2300]}
    assert change.renewals[0]["source"] == str(new.source)
    assert [finding[:2] for finding in change.appeared if finding[0] == "stop"]
    assert all(code == "speed-margin" for severity, code, _ref in change.appeared if severity == "stop")
    assert (recheck.changed, recheck.worse, recheck.became_stop) == (1, 1, 1)
    assert StoredAssessment.objects.filter(pk=record.assessment_id).values().get() == before
    record.refresh_from_db()
    assert record.assessment_id == before["id"]
    assert record.items[1]["data"]["limiting_speed_rpm"] == 2700
    assert change.after.stack["items"][1]["limiting_speed_rpm"] == 2300


def test_a_motor_in_service_is_judged_by_what_was_built_last():
    record = in_service(rating=printed(edition(2019)))
    printed(edition(2024), 2300.0)
    run(jobs=False)
    (change,) = Change.objects.all()
    assert (change.record_id, change.in_service, change.became_stop) == (record.pk, True, True)


def test_a_bearing_that_no_newest_edition_rates_any_more_has_no_known_margin():
    signed(make_job(), Stage.SPECIFIED, printed(edition(2019)))
    printed(edition(2024), None)
    run()
    (change,) = Change.objects.all()
    assert (change.margin_after, change.is_worse) == (None, True)


def test_a_stack_that_can_no_longer_be_judged_says_what_is_missing():
    job = make_job()
    signed(job)
    motor = job.motor
    motor.nameplate = {**motor.nameplate, "rated_speed_rpm": {"state": "illegible", "si": None}}
    motor.save()
    run()
    (change,) = Change.objects.all()
    assert (change.worst_after, change.after, change.margin_after) == ("unchecked", None, None)
    assert change.is_worse
    assert "ull-load RPM" in " ".join(change.hindrances)


def test_a_changed_policy_has_all_checked_again_once_after_the_commit(django_capture_on_commit_callbacks):
    signed(make_job())
    with django_capture_on_commit_callbacks(execute=True):
        set_policy(minimum_speed_margin=0.02)
        set_policy(minimum_speed_margin=0.04)
    first, last = Recheck.objects.order_by("pk")
    assert (first.superseded_by_id, first.checked, first.finished_at) == (last.pk, 0, None)
    assert (last.why, last.checked, last.changed) == ("policy", 1, 1)
    assert LongWork.objects.filter(state="done").count() == 2
    change = Change.objects.get()
    # The margin of 5 per cent stays; it is the finding of less than 10 per cent that is gone.
    assert change.margin_before == change.margin_after
    assert not change.is_worse
    assert change.inputs == [
        {"room": "policy", "field": "minimum_speed_margin", "before": 0.1, "after": 0.04}
    ]


def test_a_policy_whose_limits_stay_asks_for_nothing():
    signed(make_job())
    set_policy()
    assert not Recheck.objects.exists()


def test_a_shop_without_signed_stacks_asks_for_nothing():
    set_policy(minimum_speed_margin=0.02)
    assert not Recheck.objects.exists()


def test_a_plate_changed_after_approval_judges_the_open_job_again_at_once():
    job = make_job()
    signed(job)
    set_plate(job.motor, down_thrust_n=90000.0)
    recheck = Recheck.objects.get()
    assert (recheck.why, recheck.motor_id, recheck.checked) == ("plate", job.motor_id, 1)
    assert recheck.finished_at
    change = Change.objects.get()
    assert change.is_worse
    assert change.l10h_after < change.l10h_before
    assert {"room": "motor", "field": "down_thrust_n", "before": 30000, "after": 90000} in change.inputs


def test_a_plate_that_asks_the_same_of_the_bearings_judges_nothing():
    job = make_job()
    signed(job)
    set_plate(job.motor, frame="445TP")
    assert not Recheck.objects.exists()


def test_a_motor_without_a_signed_stack_is_not_judged():
    job = make_job()
    make_stack_record(job, Stage.SPECIFIED)
    set_plate(job.motor, down_thrust_n=90000.0)
    assert not Recheck.objects.exists()


def test_what_a_later_run_finds_as_it_was_is_off_the_lists_again():
    job = make_job()
    signed(job)
    set_plate(job.motor, down_thrust_n=90000.0)
    set_plate(job.motor, down_thrust_n=30000.0)
    first, last = Recheck.objects.order_by("pk")
    change = Change.objects.get()
    assert (change.recheck_id, change.replaced_by_id) == (first.pk, last.pk)
    assert not Change.objects.unseen().exists()


def test_a_run_of_the_policy_does_not_forget_what_the_book_says():
    signed(make_job(), Stage.SPECIFIED, printed(edition(2019)))
    printed(edition(2024), 2300.0)
    run()
    run()
    (open_one,) = Change.objects.unseen()
    assert open_one.became_stop
    assert Change.objects.count() == 2


def test_an_interrupted_run_goes_on_where_it_stopped(monkeypatch):
    monkeypatch.setattr(running, "CHUNK", 2)
    rating = printed(edition(2019))
    for _number in range(5):
        signed(make_job(), Stage.SPECIFIED, rating)
    printed(edition(2024), 2300.0)
    recheck = begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND)
    told = []

    def report(done, total):
        told.append((done, total))
        if done == 4:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_recheck(recheck, report)
    recheck.refresh_from_db()
    assert (recheck.checked, recheck.finished_at, Change.objects.count()) == (4, None, 4)
    again = run_recheck(Recheck.objects.get(pk=recheck.pk))
    assert (again.checked, again.changed, Change.objects.count()) == (5, 5, 5)
    assert again.finished_at
    assert told == [(0, 5), (2, 5), (4, 5)]


def test_a_newer_run_makes_one_that_is_under_way_stop(monkeypatch):
    monkeypatch.setattr(running, "CHUNK", 1)
    rating = printed(edition(2019))
    for _number in range(3):
        signed(make_job(), Stage.SPECIFIED, rating)
    printed(edition(2024), 2300.0)
    newer = []

    def report(done, _total):
        if done == 1:
            newer.append(run())

    older = run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND), report)
    assert (older.checked, older.finished_at, older.superseded_by) == (1, None, newer[0])
    assert Change.objects.unseen().count() == 3
    assert set(Change.objects.unseen().values_list("recheck", flat=True)) == {newer[0].pk}


def test_a_slower_older_run_says_nothing_of_what_a_newer_one_has_judged():
    job = make_job()
    signed(job, Stage.SPECIFIED, printed(edition(2019)))
    printed(edition(2024), 2300.0)
    older = begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND)
    set_plate(job.motor, down_thrust_n=31000.0)
    assert Change.objects.get().recheck.why == "plate"
    assert run_recheck(older).changed == 0
    assert Change.objects.unseen().count() == 1


def test_a_run_over_jobs_alone_does_not_take_the_place_of_one_over_all():
    whole = begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND)
    begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND, motors=False)
    whole.refresh_from_db()
    assert whole.superseded_by is None
    newest = begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND)
    assert set(Recheck.objects.whole().unfinished()) == {newest}


def test_the_number_of_questions_grows_with_the_chunks_and_not_with_the_stacks(monkeypatch):
    monkeypatch.setattr(running, "CHUNK", 20)
    monkeypatch.setattr(running, "LEAST_CHUNK", 20)
    rating = printed(edition(2019))
    printed(edition(2024), 2300.0)
    asked = []
    for _round in range(2):
        for _number in range(4):
            signed(make_job(), Stage.SPECIFIED, rating)
        with CaptureQueriesContext(connection) as queries:
            assert run().changed
        asked.append(len(queries))
    assert asked[0] == asked[1] < 40


def test_asking_twice_with_one_key_asks_once_and_the_work_tells_its_result():
    signed(make_job())
    actor = actor_for(make_user("engineer"))
    first = ask_recheck(actor=actor, why=Recheck.Why.EDITION, about="Maker A", key="k1")
    assert ask_recheck(actor=actor, why=Recheck.Why.EDITION, key="k1") == first
    work = run_long_work(first.work_id)
    assert (work.state, work.done, work.total) == ("done", 1, 1)
    assert Event.objects.filter(verb="recheck.asked").count() == 1


def became_stop() -> Change:
    signed(make_job(), Stage.SPECIFIED, printed(edition(2019)))
    printed(edition(2024), 2300.0)
    run()
    return Change.objects.unseen().get()


def test_a_stack_that_became_stop_is_seen_with_a_word_on_what_is_done():
    change, lead = became_stop(), make_user("lead")
    with pytest.raises(RecheckError, match="Enter the action taken"):
        mark_seen(actor=actor_for(lead), change=change, note=" ")
    mark_seen(actor=actor_for(lead), change=change, note="customer told, 7320 H ordered")
    change.refresh_from_db()
    assert (change.seen_by, change.note) == (lead, "customer told, 7320 H ordered")
    assert not Change.objects.told().exists()
    event = Event.objects.get(verb="recheck.seen")
    assert (event.job_number, event.reason) == (change.job.number, "customer told, 7320 H ordered")


def test_of_two_people_the_first_has_seen_it_and_the_same_form_again_does_nothing():
    change, lead = became_stop(), actor_for(make_user("lead"))
    mark_seen(actor=lead, change=change, note="noted")
    mark_seen(actor=lead, change=change, note="noted")
    assert Event.objects.filter(verb="recheck.seen").count() == 1
    with pytest.raises(RecheckError, match="already marked this"):
        mark_seen(actor=actor_for(make_user("engineer")), change=change, note="mine")


def test_the_rest_is_seen_in_one_go_but_never_what_became_stop():
    change, lead = became_stop(), actor_for(make_user("lead"))
    signed(make_job(), items=items_from(None), rating=None)
    set_policy(minimum_speed_margin=0.02)
    latest = run()
    assert latest.changed == 2
    assert mark_rest_seen(actor=lead, recheck=latest, changes=Change.objects.all(), note="policy talk") == 1
    (left,) = Change.objects.unseen()
    assert (left.record_id, left.became_stop) == (change.record_id, True)


def test_what_was_seen_stays_seen_in_later_runs_until_it_is_another_outcome():
    change, lead = became_stop(), make_user("lead")
    mark_seen(actor=actor_for(lead), change=change, note="7320 H ordered")
    run()
    again = Change.objects.order_by("pk").last()
    assert (again.seen_by, again.note, Change.objects.told().count()) == (lead, "7320 H ordered", 0)
    set_plate(again.motor, down_thrust_n=90000.0)
    assert Change.objects.unseen().get().l10h_after < again.l10h_after
