"""Pages of the re-checks: runs, whose outcome changed, side by side, seen; flags on board, job and motor."""

from __future__ import annotations

import pytest
from django.urls import reverse

from bearings.public import rating_figures
from repairs.ledger.services import SYSTEM
from repairs.long_work.models import LongWork
from repairs.motors.services import change_motor
from repairs.office.book_entries import correct_rating
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.running import run_recheck
from repairs.rechecks.services import begin_recheck
from repairs.work_orders.models import Stage
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.rechecks.stacks import edition, in_service, printed, signed

pytestmark = pytest.mark.django_db


def run() -> Recheck:
    return run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND))


@pytest.fixture
def shop():
    """A job whose specified stack becomes STOP, a motor in service that loses margin only."""
    old, new = edition(2019), edition(2024)
    fast = printed(old)
    slow = printed(old, 3200.0, designation="7320 H")
    stopped = signed(make_job(), Stage.SPECIFIED, fast)
    kept = in_service(rating=slow)
    printed(new, 2300.0)
    printed(new, 3000.0, designation="7320 H")
    return {"run": run(), "stopped": stopped, "kept": kept}


def page(client, name: str, *args, role: str = "lead", **query):
    client.force_login(make_user(role))
    return client.get(reverse(f"office:{name}", args=args), query)


def test_the_list_of_a_run_tells_what_became_stop_first_and_from_what_to_what(client, shop):
    text = page(client, "recheck", shop["run"].pk).text
    assert text.index(shop["stopped"].job.number) < text.index(shop["kept"].job.number)
    assert "became STOP" in text
    assert "+5.0%" in text
    assert "−10.6%" in text
    assert "bearings 1, 2, 3: limiting speed 2,700\u00a0rpm → 2,300\u00a0rpm" in text
    assert "in service" in text


@pytest.mark.parametrize(
    ("query", "stopped", "kept"),
    [
        ({}, True, True),
        ({"what": "stop"}, True, False),
        ({"what": "worse"}, False, True),
        ({"what": "better"}, False, False),
        ({"where": "jobs"}, True, False),
        ({"where": "motors"}, False, True),
        ({"unseen": "1"}, True, True),
        ({"what": "nonsense", "where": "moon"}, True, True),
    ],
)
def test_filters_live_in_the_address(client, shop, query, stopped, kept):
    text = page(client, "recheck", shop["run"].pk, **query).text
    assert (shop["stopped"].job.number in text, shop["kept"].job.number in text) == (stopped, kept)


def test_a_filter_that_changes_swaps_the_list_alone(client, shop):
    client.force_login(make_user("lead"))
    answer = client.get(reverse("office:recheck", args=[shop["run"].pk]), headers={"hx-request": "true"})
    assert "<html" not in answer.text
    assert shop["kept"].job.number in answer.text


def test_a_long_list_comes_in_pages_with_a_fixed_number_of_questions(client, django_assert_max_num_queries):
    rating = printed(edition(2019))
    for _number in range(55):
        signed(make_job(), Stage.SPECIFIED, rating)
    printed(edition(2024), 2300.0)
    recheck = run()
    client.force_login(make_user("lead"))
    address = reverse("office:recheck", args=[recheck.pk])
    with django_assert_max_num_queries(7):
        first = client.get(address)
    assert first.text.count("Side by side") == 50
    assert client.get(address, {"page": 2, "what": "stop"}).text.count("Side by side") == 5


def test_both_assessments_stand_side_by_side_with_what_went_in_differently(client, shop):
    change = Change.objects.get(record=shop["stopped"])
    text = page(client, "recheck_change", change.pk, role="technician").text
    assert "As signed" in text
    assert "Today" in text
    assert "2,700\u00a0rpm → 2,300\u00a0rpm" in text
    assert text.count("STOP") >= 2
    assert "An engineer or lead enters the action taken." in text


def test_the_specified_stack_is_not_shown_to_the_one_who_records_as_built(client, shop):
    change = Change.objects.get(record=shop["stopped"])
    technician = make_user()
    make_stack_record(shop["stopped"].job, Stage.AS_BUILT, started_by=technician)
    client.force_login(technician)
    assert client.get(reverse("office:recheck_change", args=[change.pk])).status_code == 403


def test_a_change_is_marked_as_seen_once_with_a_note(client, shop):
    change = Change.objects.get(record=shop["stopped"])
    client.force_login(make_user("engineer"))
    address = reverse("office:recheck_change_seen", args=[change.pk])
    refused = client.post(address, {"note": ""})
    assert refused.status_code == 422
    assert "Enter the action taken for a stack that became STOP." in refused.text
    too_long = client.post(address, {"note": "x" * 301})
    assert too_long.status_code == 422
    assert "x" * 301 in too_long.text
    client.post(address, {"note": "customer told"})
    change.refresh_from_db()
    assert change.note == "customer told"
    assert "customer told" in client.get(reverse("office:recheck", args=[change.recheck_id])).text
    client.force_login(make_user("lead"))
    assert "has already marked this" in client.post(address, {"note": "me too"}).text


def test_the_rest_of_a_filtered_list_is_seen_in_one_go(client, shop):
    client.force_login(make_user("lead"))
    address = reverse("office:recheck_rest_seen", args=[shop["run"].pk])
    assert client.post(address, {"note": ""}).status_code == 422
    client.post(f"{address}?where=jobs", {"note": "talked over"})
    assert Change.objects.unseen().count() == 2
    client.post(f"{address}?where=motors", {"note": "talked over"})
    assert Change.objects.unseen().get().became_stop


def test_the_board_and_the_job_flag_a_stack_that_became_stop_until_it_is_seen(client, shop):
    change = Change.objects.get(record=shop["stopped"])
    client.force_login(make_user("lead"))
    board, job = reverse("office:board"), reverse("office:job", args=[change.job.number])
    assert "STOP found by re-check" in client.get(board).text
    assert reverse("office:recheck_change", args=[change.pk]) in client.get(job).text
    client.post(reverse("office:recheck_change_seen", args=[change.pk]), {"note": "new bearings ordered"})
    assert "found by re-check" not in client.get(board).text
    assert reverse("office:recheck_change", args=[change.pk]) not in client.get(job).text


def test_the_motor_in_service_says_what_became_stop(client):
    record = in_service(rating=printed(edition(2019)))
    printed(edition(2024), 2300.0)
    run()
    text = page(client, "motor", record.job.motor_id).text
    assert "Changed by the re-check" in text
    assert "in service" in text


def test_a_plate_changed_after_approval_shows_on_board_and_job(client):
    job = make_job()
    signed(job)
    plate = {
        **job.motor.nameplate,
        "down_thrust_n": {"state": "read", "typed": "33000", "unit": "N", "si": 33000.0},
    }
    lead = make_user("lead")
    change_motor(actor=actor_for(lead), motor=job.motor, version=1, nameplate=plate)
    client.force_login(lead)
    assert "changed since approval" in client.get(reverse("office:board")).text
    text = client.get(reverse("office:job", args=[job.number])).text
    assert "Changed since approval" in text
    assert "downthrust" in text


def test_the_list_of_runs_offers_to_check_all_again_with_their_number(client, shop):
    text = page(client, "recheck_list", role="engineer").text
    assert "Re-check all stacks (2)" in text
    assert "started by hand" in text
    assert "Re-check all stacks" not in page(client, "recheck_list", role="technician").text


def test_the_button_starts_one_run_however_often_it_is_sent(client, shop):
    client.force_login(make_user("engineer"))
    fields = {"form_key": "key-1", "why": "edition", "about": "Maker A, Bearing tables, 2024"}
    first = client.post(reverse("office:recheck_start"), fields)
    assert client.post(reverse("office:recheck_start"), fields).url == first.url
    recheck = Recheck.objects.first()
    assert (recheck.why, recheck.about, LongWork.objects.count()) == (
        "edition",
        "Maker A, Bearing tables, 2024",
        1,
    )
    text = client.get(first.url).text
    assert "every 1s" in text
    assert "waiting" in text


def test_a_run_whose_reason_no_button_sends_was_asked_for_by_hand(client, shop):
    client.force_login(make_user("lead"))
    client.post(reverse("office:recheck_start"), {"form_key": "key-2", "why": "policy"})
    assert Recheck.objects.first().why == "hand"
    assert client.post(reverse("office:recheck_start"), {}).url == reverse("office:recheck_list")


@pytest.mark.parametrize("role", ["office", "technician"])
def test_only_those_who_judge_stacks_start_runs_or_mark_changes(client, shop, role):
    client.force_login(make_user(role))
    change = Change.objects.first()
    assert client.post(reverse("office:recheck_start"), {"form_key": "k"}).status_code == 403
    assert (
        client.post(reverse("office:recheck_change_seen", args=[change.pk]), {"note": "x"}).status_code == 403
    )
    assert client.post(reverse("office:recheck_rest_seen", args=[shop["run"].pk])).status_code == 403
    assert client.get(reverse("office:recheck", args=[shop["run"].pk])).status_code == 200


def test_the_book_offers_a_re_check_with_its_number_until_one_has_seen_the_change(client):
    record = signed(make_job(), Stage.SPECIFIED, printed(source := edition(2024)))
    client.force_login(make_user("engineer"))
    pages = [reverse("office:book"), reverse("office:source", args=[source.pk])]
    assert all("Re-check all stacks" not in client.get(page).text for page in pages)
    rating = source.ratings.get()
    correct_rating(
        actor=SYSTEM,
        rating=rating,
        version=1,
        fields={
            "designation": rating.designation,
            "type": rating.type,
            "variant": rating.variant,
            "figures": {**rating_figures(rating), "limiting_speed_rpm": 2300.0},
        },
    )
    pages.append(reverse("office:rating", args=[rating.pk]))
    for page in pages:
        assert "Re-check all stacks (1)" in client.get(page).text
    client.force_login(make_user("technician"))
    assert all("Re-check all stacks" not in client.get(page).text for page in pages)
    run()
    assert Change.objects.get(record=record).became_stop
    client.force_login(make_user("engineer"))
    assert all("Re-check all stacks" not in client.get(page).text for page in pages)


def test_a_changed_policy_shows_how_far_the_re_check_is(client):
    signed(make_job())
    lead = make_user("lead")
    client.force_login(lead)
    address = reverse("office:policy")
    form = client.get(address).context["form"]
    fields = {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
    fields = {name: value for name, value in fields.items() if value is not None}
    fields |= {"name": "Shop", "address": "", "minimum_speed_margin": "2"}
    answer = client.post(address, fields, follow=True)
    assert Recheck.objects.get().why == "policy"
    assert "every 1s" in answer.text


def test_a_change_says_when_a_newer_revision_was_signed_since(client, shop):
    change = Change.objects.get(record=shop["stopped"])
    assert "was signed since" not in page(client, "recheck_change", change.pk).text
    signed(shop["stopped"].job, Stage.SPECIFIED, revision=2)
    assert "Revision 2 of this stack was signed since." in page(client, "recheck_change", change.pk).text
