"""Finding jobs, motors and customers by any fragment, and an index that follows what it was made from."""

from __future__ import annotations

import pytest
from django.db import connection

from repairs.customers.models import Site
from repairs.work_orders.finding import JOBS_SHOWN, find
from repairs.work_orders.models import Job, SearchKey
from repairs.work_orders.search import Kind, index_job, normalized, reindex_all, squeezed
from repairs.work_orders.services.opening import change_job
from tests.repairs.factories import actor_for, make_customer, make_job, make_motor, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def well():
    """A job whose every name is known; beside it one that answers to none of them."""
    make_job(make_motor(make_customer(name="Orrin Mill"), serial="QQ-1", tag="sump"))
    customer = make_customer(name="Saltgrass Flats Water")
    site = Site.objects.create(customer=customer, name="North station")
    motor = make_motor(customer, serial="RM-4074-B/77", tag="Well 7", site=site)
    return make_job(motor, purchase_order="PO 4500-1217", site=site)


def numbers(typed: str) -> list[str]:
    return [job.number for job in find(typed).jobs]


@pytest.mark.parametrize(
    "typed",
    [
        "4074", "m-4074-b", "rm4074b77", "074-B/7",  # the serial: inside, in any case, without its dashes
        "well 7", "ell 7", "WELL",  # the tag
        "4500-12", "0-1217", "po 4500", "45001217",  # the purchase order
        "saltgrass", "grass fl", "water",  # the customer
        "north st", "station",  # the site
        "salt well", "water 4074", "saltgrass 7",  # words of several, in any order, a short one too
    ],
)  # fmt: skip
def test_a_fragment_finds_the_job_and_no_other(well, typed):
    assert numbers(typed) == [well.number]


def test_a_number_is_found_whole_without_its_dash_and_by_its_end(well):
    assert numbers(well.number)[0] == well.number
    assert numbers(well.number.replace("-", ""))[0] == well.number
    assert well.number in numbers(well.number[-3:])


def test_two_characters_find_what_begins_with_them_and_nothing_that_only_holds_them(well):
    assert [one.name for one in find("sa").customers] == ["Saltgrass Flats Water"]
    assert [one.name for one in find("Wa").customers] == ["Saltgrass Flats Water"]
    assert [one.serial for one in find("rm").motors] == ["RM-4074-B/77"]
    assert find("lt").is_empty
    assert find("s").customers


def test_an_answer_names_job_motor_and_customer(well):
    found = find("saltgrass")
    assert [job.number for job in found.jobs] == [well.number]
    assert [motor.pk for motor in found.motors] == [well.motor_id]
    assert [customer.pk for customer in found.customers] == [well.customer_id]


def test_a_motor_and_a_customer_without_a_job_are_found_too():
    motor = make_motor(make_customer(name="Dune County"), serial="ZX-900")
    assert [one.pk for one in find("x-90").motors] == [motor.pk]
    assert [one.pk for one in find("county").customers] == [motor.customer_id]


def test_an_exact_serial_comes_before_newer_jobs_that_only_hold_it():
    customer = make_customer()
    exact = make_job(make_motor(customer, serial="500"))
    begins = make_job(make_motor(customer, serial="500-2"))
    holds = [make_job(make_motor(customer, serial=f"X1500{n:03d}")) for n in range(JOBS_SHOWN + 5)]
    found = numbers("500")
    assert found[:2] == [exact.number, begins.number]
    assert found[2] == holds[-1].number
    assert len(found) == JOBS_SHOWN
    assert Kind.JOB in find("500").more


def test_an_exact_job_number_comes_first_even_where_a_tag_is_the_same():
    first = make_job()
    make_job(make_motor(tag=first.number))
    assert numbers(first.number)[0] == first.number


def test_open_jobs_come_before_ended_ones():
    motor = make_motor(tag="Booster")
    first, second = make_job(motor), make_job(motor)
    Job.objects.filter(pk=second.pk).update(state="closed", closed_at=second.opened_at)
    assert numbers("booster") == [first.number, second.number]


def test_accents_and_case_do_not_hide_anything():
    make_motor(make_customer(name="Ródenas Énergie"), tag="STRASSE")
    assert [one.name for one in find("rodenas").customers] == ["Ródenas Énergie"]
    assert [one.name for one in find("ÉNERGIE").customers] == ["Ródenas Énergie"]
    assert [one.tag for one in find("straße").motors] == ["STRASSE"]


@pytest.mark.parametrize(
    "typed",
    [
        "", " ", '"', '""', "'", "*", "%", "%%%", "_", "___", "\\", "a*b", 'a" OR "b', "NEAR(a b)", "words:well",
        "-well", "^well", "😀", "😀😀😀", "x" * 500, "well " * 100, "\x00", "w\x00e", "%s", "{}", "ﬃ", "٣٤٥",
    ],
)  # fmt: skip
def test_odd_input_gets_an_answer(well, typed):
    find(typed)


@pytest.mark.parametrize(
    "typed", ["%", "%%%", "___", "w_ll", "W*L", 'well" OR "sump', "well OR sump", "x" * 500]
)
def test_signs_of_a_query_language_mean_only_themselves(well, typed):
    assert numbers(typed) == []


def test_a_percent_sign_in_a_name_is_found_by_itself():
    motor = make_motor(tag='50% "spare"*')
    assert [one.pk for one in find('0% "s').motors] == [motor.pk]
    assert [one.pk for one in find('spare"*').motors] == [motor.pk]


def test_the_index_follows_a_changed_purchase_order(well):
    change_job(actor=actor_for(make_user("office")), job=well, version=well.version, purchase_order="NEW/88")
    assert numbers("new/8") == [well.number]
    assert numbers("4500-1217") == []


def test_the_index_follows_a_renamed_customer_site_and_motor(well):
    customer, motor = well.customer, well.motor
    customer.name = "Marrow District"
    customer.save()
    motor.serial = "TT-5555"
    motor.save()
    site = motor.site
    site.name = "Lower weir"
    site.save()
    assert numbers("marrow") == numbers("tt-555") == numbers("weir") == [well.number]
    assert numbers("saltgrass") == numbers("4074") == numbers("north") == []
    assert [one.name for one in find("lower").customers] == ["Marrow District"]


def test_writing_an_entry_twice_leaves_one(well):
    before = SearchKey.objects.count()
    index_job(well)
    index_job(well)
    assert SearchKey.objects.count() == before


def test_a_new_index_says_the_same_as_the_old_one(well):
    def content() -> tuple[set[tuple[int, int, str]], list[tuple[int, str]]]:
        with connection.cursor() as cursor:
            cursor.execute("SELECT rowid, words FROM work_orders_searchtext ORDER BY rowid")
            texts = list(cursor.fetchall())
        return set(SearchKey.objects.values_list("kind", "subject_id", "key")), texts

    before = content()
    assert len(before[1]) == 6
    reindex_all()
    assert content() == before


def test_names_are_folded_and_numbers_squeezed():
    assert normalized("  Élan\t VITAL ") == "elan vital"
    assert squeezed("rm-40/74 b.") == "rm4074b"


@pytest.mark.parametrize("typed", ["sf 20871", "SF20871", "SF-20871", "sf.208"])
def test_a_number_is_found_whatever_its_spaces_dashes_and_case(typed):
    motor = make_motor(serial="SF-20871")
    assert [one.pk for one in find(typed).motors] == [motor.pk]
