"""Two records of one motor or one customer become one, with both histories; an administrator can undo it."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection
from django.urls import reverse

from repairs.customers.models import Contact, Customer, Site
from repairs.customers.services import CustomerError, change_customer, create_customer
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.motors.services import MotorError, change_motor
from repairs.rechecks.models import Change
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.finding import find
from repairs.work_orders.models import Job, Merge
from repairs.work_orders.services.merges import merge_customers, merge_motors, stands_on, undo_merge
from repairs.work_orders.services.opening import close_job, open_job
from repairs.work_orders.services.work import list_part
from tests.repairs.factories import actor_for, make_customer, make_job, make_motor, make_user
from tests.repairs.rechecks.stacks import edition, in_service, printed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def office():
    return actor_for(make_user("office"))


@pytest.fixture
def administrator():
    return actor_for(make_user("administrator"))


def pair(**second) -> tuple[Motor, Motor]:
    owner = make_customer()
    return make_motor(owner, serial="SF-20871"), make_motor(owner, **{"serial": "sf 20871", **second})


def merged(actor, kept: Motor, other: Motor) -> Merge:
    kept.refresh_from_db()
    other.refresh_from_db()
    return merge_motors(actor=actor, kept=kept, merged=other, versions=(kept.version, other.version))


def ended(job: Job, actor) -> Job:
    return close_job(actor=actor, job=job, cancelled=True, reason="test")


# Motors


def test_the_jobs_of_both_stand_with_the_motor_that_stays_and_each_tells_of_it(office):
    kept, other = pair()
    first, second = ended(make_job(kept), office), make_job(other)
    merged(office, kept, other)
    assert set(kept.jobs.all()) == {first, second}
    assert not other.jobs.exists()
    other.refresh_from_db()
    assert (other.merged_into, other.serial) == (kept, "sf 20871")
    event = Event.objects.get(verb="motor.merged", job_number="")
    assert (event.subject_id, event.after["merged"], event.after["jobs"]) == (str(kept.pk), other.pk, 1)
    assert Event.objects.filter(verb="motor.merged", job_number=second.number).exists()
    assert not Event.objects.filter(verb="motor.merged", job_number=first.number).exists()


def test_a_merged_motor_is_offered_found_and_changed_no_more(office):
    kept, other = pair(tag="Well 9 again")
    merged(office, kept, other)
    assert [one.pk for one in find("sf20871").motors] == [kept.pk]
    assert not find("well 9 again").motors
    assert list(Motor.objects.with_serial("SF 20871")) == [kept]
    with pytest.raises(MotorError, match="merged into another"):
        change_motor(actor=office, motor=other, version=other.version + 1, note="x")
    other.refresh_from_db()
    with pytest.raises(WorkOrderError, match="merged into another"):
        open_job(
            actor=office,
            motor=other,
            customer=other.customer,
            complaint="x",
            today=make_job().opened_at.date(),
        )


def test_two_motors_with_an_open_job_each_are_two_motors_until_one_job_ends(office):
    kept, other = pair()
    first, second = make_job(kept), make_job(other)
    with pytest.raises(WorkOrderError, match=f"{first.number}, {second.number}"):
        merged(office, kept, other)
    assert other.jobs.get() == second
    ended(second, office)
    assert merged(office, kept, other).pk


def test_motors_of_two_customers_are_not_merged_and_no_record_with_itself(office):
    with pytest.raises(WorkOrderError, match="Merge the customers or change the owner first"):
        merged(office, make_motor(serial="A-1"), make_motor(serial="A 1"))
    one = make_motor()
    with pytest.raises(WorkOrderError, match="same record"):
        merged(office, one, one)
    customer = one.customer
    with pytest.raises(WorkOrderError, match="same record"):
        merge_customers(actor=office, kept=customer, merged=customer, versions=(1, 1))


def test_of_two_people_who_merge_at_once_the_second_is_told(office):
    kept, other = pair()
    seen = (kept.version, other.version)
    merge_motors(actor=office, kept=kept, merged=other, versions=seen)
    with pytest.raises(WorkOrderError, match="is already merged"):
        merge_motors(actor=office, kept=other, merged=kept, versions=(other.version, kept.version))
    third = make_motor(kept.customer)
    with pytest.raises(StaleVersionError, match="changed one of the two"):
        merge_motors(actor=office, kept=kept, merged=third, versions=(seen[0], third.version))


@pytest.mark.django_db(transaction=True)
def test_two_merges_that_cross_leave_one_motor_and_no_ring():
    kept, other = pair()
    actors = [actor_for(make_user("office")), actor_for(make_user("lead"))]

    def merge(number: int) -> str:
        try:
            ways = ((kept, other), (other, kept))
            merge_motors(actor=actors[number], kept=ways[number][0], merged=ways[number][1], versions=(1, 1))
        except WorkOrderError as error:
            return str(error)
        finally:
            connection.close()
        return ""

    with ThreadPoolExecutor(2) as pool:
        said = list(pool.map(merge, (0, 1)))
    assert said.count("") == 1
    assert Motor.objects.filter(merged_into__isnull=False).count() == 1
    assert Merge.objects.count() == 1


def test_stacks_that_were_signed_beside_another_plate_are_judged_again_beside_this_one(office):
    record = in_service(rating=printed(edition(2019)))
    other = record.job.motor
    kept = make_motor(other.customer)
    kept.nameplate = {
        **kept.nameplate,
        "rated_speed_rpm": {"state": "read", "typed": "3560", "unit": "rpm", "si": 3560.0},
    }
    kept.save()
    merged(office, kept, other)
    change = Change.objects.get()
    assert (change.motor, change.job, change.record) == (kept, record.job, record)
    assert change.told


def test_stacks_that_stay_where_they_were_are_not_judged_again(office):
    record = in_service(rating=printed(edition(2019)))
    printed(edition(2024), 2300.0)
    empty = make_motor(record.job.customer, nameplate={})
    merged(office, record.job.motor, empty)
    assert not Change.objects.exists()


def test_only_who_may_merges(office):
    kept, other = pair()
    with pytest.raises(WorkOrderError, match="role does not allow"):
        merged(actor_for(make_user("technician")), kept, other)


def test_a_page_that_was_opened_before_a_merge_or_its_undoing_changes_neither_record_anymore(
    office, administrator
):
    kept, other = pair()
    merge = merged(office, kept, other)
    assert [Motor.objects.get(pk=one.pk).version for one in (kept, other)] == [2, 2]
    undo_merge(actor=administrator, merge=merge)
    assert [Motor.objects.get(pk=one.pk).version for one in (kept, other)] == [3, 3]


# Back again


def test_an_administrator_gives_everything_back_while_nothing_new_stands_on_it(office, administrator):
    kept, other = pair()
    job = make_job(other)
    merge = merged(office, kept, other)
    with pytest.raises(WorkOrderError, match="Only an administrator"):
        undo_merge(actor=actor_for(make_user("lead")), merge=merge)
    undo_merge(actor=administrator, merge=merge)
    other.refresh_from_db()
    assert (other.merged_into, other.jobs.get()) == (None, job)
    assert {one.pk for one in find("sf20871").motors} == {kept.pk, other.pk}
    assert Event.objects.filter(verb="merge.undone", job_number=job.number).exists()
    with pytest.raises(WorkOrderError, match="already undone"):
        undo_merge(actor=administrator, merge=merge)
    merged(office, kept, other)


@pytest.mark.parametrize(
    "what", ["work on a moved job", "a new job", "a change of the motor", "another merge"]
)
def test_a_merge_on_which_something_new_stands_stays(office, administrator, what):
    kept, other = pair()
    job = make_job(other)
    merge = merged(office, kept, other)
    assert stands_on(merge) == ""
    kept.refresh_from_db()
    if what == "work on a moved job":
        list_part(actor=actor_for(make_user()), job=job, name="fan cover")
    elif what == "a new job":
        make_job(kept)
    elif what == "a change of the motor":
        change_motor(actor=office, motor=kept, version=kept.version, note="rewound in 2019")
    else:
        merged(office, make_motor(kept.customer), kept)
    with pytest.raises(WorkOrderError, match="can no longer be undone"):
        undo_merge(actor=administrator, merge=merge)
    job.refresh_from_db()
    assert job.motor_id != other.pk


# Customers


def test_everything_of_a_customer_moves_and_sites_of_one_name_become_one_and_come_back(office, administrator):
    kept, other = make_customer(name="Kestrel Paper"), make_customer(name="Kestrel Paper Co")
    north, again = (
        Site.objects.create(customer=kept, name="North"),
        Site.objects.create(customer=other, name="NORTH"),
    )
    south = Site.objects.create(customer=other, name="South")
    contact = Contact.objects.create(customer=other, name="Dana", site=again)
    motor, moved = make_motor(other, site=again), make_motor(other, site=south)
    job = make_job(motor)
    Job.objects.filter(pk=job.pk).update(site=again)
    merge = merge_customers(actor=office, kept=kept, merged=other, versions=(kept.version, other.version))
    for row in (motor, moved, job, contact, south):
        row.refresh_from_db()
        assert row.customer == kept
    assert (motor.site, job.site, contact.site, moved.site) == (north, north, north, south)
    assert sorted(kept.sites.values_list("name", flat=True)) == ["North", "South"]
    assert not find("kestrel paper co").customers
    assert find("kestrel paper").jobs[0].customer == "Kestrel Paper"
    with pytest.raises(CustomerError, match="was merged into “Kestrel Paper”"):
        create_customer(actor=office, name="kestrel paper co")
    with pytest.raises(CustomerError, match="merged into another"):
        change_customer(actor=office, customer=other, version=other.version + 1, note="x")
    undo_merge(actor=administrator, merge=merge)
    for row in (motor, moved, job, contact, south):
        row.refresh_from_db()
        assert row.customer == other
    assert (motor.site, job.site, contact.site, moved.site) == (again, again, again, south)
    assert Event.objects.filter(verb="merge.undone", job_number=job.number).count() == 1
    assert Customer.objects.current().count() == 2


# Pages


def test_the_page_says_what_moves_asks_for_a_word_and_merges_once(client):
    kept, other = pair()
    job = make_job(other)
    client.force_login(make_user("office"))
    address = reverse("office:merge_motor", args=[kept.pk])
    chooser = client.get(address).content.decode()
    assert f"?with={other.pk}" in chooser
    page = client.get(f"{address}?with={other.pk}")
    text = page.content.decode()
    assert job.number in text
    assert "sf 20871" in text
    sent = {**page.context["form"].initial, "merged": other.pk}
    refused = client.post(address, sent)
    assert refused.status_code == 422
    assert "check this box" in refused.content.decode()
    assert not Merge.objects.exists()
    for _twice in range(2):
        assert client.post(address, {**sent, "confirmed": "on"}).status_code == 302
    assert Merge.objects.count() == 1
    stub = client.get(reverse("office:motor", args=[other.pk])).content.decode()
    assert "This record was merged into" in stub
    assert "Change motor or nameplate" not in stub
    assert "Undo merge" not in client.get(reverse("office:motor", args=[kept.pk])).content.decode()
    client.force_login(make_user("administrator"))
    assert "Undo merge" in client.get(reverse("office:motor", args=[kept.pk])).content.decode()
    client.post(reverse("office:merge_undo", args=[Merge.objects.get().pk]))
    job.refresh_from_db()
    assert job.motor == other


def test_a_page_that_moved_on_is_looked_at_again(client):
    kept, other = make_customer(name="Dune Water"), make_customer(name="Dune Water Inc")
    client.force_login(make_user("lead"))
    address = reverse("office:merge_customer", args=[kept.pk])
    assert "Dune Water Inc" in client.get(address).content.decode()
    page = client.get(f"{address}?with={other.pk}")
    change_customer(
        actor=actor_for(make_user("office")), customer=other, version=other.version, note="asks for Dana"
    )
    answer = client.post(address, {**page.context["form"].initial, "confirmed": "on"})
    assert answer.status_code == 409
    assert "changed one of the two" in answer.content.decode()
    assert Customer.objects.current().count() == 2
