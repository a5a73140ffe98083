"""Traveler, stack card and job tag: what they say, how they are issued, when they are superseded."""

from __future__ import annotations

import logging
from datetime import date
from decimal import Decimal
from unittest.mock import patch

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from repairs.documents import issuing, services
from repairs.documents.codes import paper_address
from repairs.documents.content import papers
from repairs.documents.content.reader import CANONICAL
from repairs.documents.content.report import report
from repairs.documents.models import IssuedDocument
from repairs.documents.services import issue_document
from repairs.ledger.models import Event
from repairs.measurements.limit_services import concede_run, judge_reading
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.services.holds import hold_job, release_job
from tests.repairs.documents.reading import catalogue_of, pages_of, scanned_codes, size_of, stored
from tests.repairs.documents.scenes import build, job_with_found_stack, measure, specify, walk
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, triple_items
from tests.repairs.measurements.one_figure import take_figure
from tests.repairs.signed_stacks import approve

pytestmark = pytest.mark.django_db


def printed(job: Job, kind: str = "traveler", **choices) -> IssuedDocument:
    choices = {"paper": "a4", "language": "en", "units": "si", **choices}
    person = choices.pop("by", None) or make_user("lead")
    job = Job.objects.with_motor().get(pk=job.pk)
    return issue_document(actor=actor_for(person), job=job, kind=kind, now=timezone.now(), **choices)


@pytest.fixture
def told_job() -> Job:
    """A job with everything that a traveler can tell."""
    job = job_with_found_stack()
    specify(job)
    measure(job)
    walk(job, 3)
    return job


def test_a_traveler_says_everything_and_logs_no_error(told_job, caplog):
    with caplog.at_level(logging.ERROR, logger="weasyprint"):
        document = printed(told_job)
    assert caplog.records == []
    words = " ".join(pages_of(stored(document)))
    wanted = (
        told_job.number, "Traveler · revision 1", "HV-20417", "1,780 rpm", "It growls when the pump starts.",
        "Stack as specified", "Bearings 1 and 2 carry downthrust.", "Tobias Reeve", "Heat, mount, record as built",
        "Margin is 5%", "shop minimum 10%", "fixed line speed, oil cooler fitted", "NOT PROVEN",
        "ISO 286-2, 100 k5", "100.010", "FAIL", "not checked", "DANGER", "WARNING", "step 11",
        "stack beside the mount, top to the left", "Local codes",
    )  # fmt: skip
    assert [text for text in wanted if text not in words] == []


def test_every_page_bears_job_revision_time_place_in_the_count_and_the_code(told_job):
    document = printed(told_job)
    pages = pages_of(stored(document))
    assert len(pages) > 1
    for number, words in enumerate(pages, 1):
        for text in (
            told_job.number,
            "revision 1",
            "issued",
            document.code,
            f"page {number} of {len(pages)}",
        ):
            assert text in words
        assert paper_address(document.code) in scanned_codes(stored(document), number - 1)


@pytest.mark.parametrize("kind", ["traveler", "stack_card", "job_tag"])
@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_papers_fit_both_sheets_are_tagged_and_their_code_is_legible(told_job, kind, paper, size):
    document = printed(told_job, kind, paper=paper)
    pdf = stored(document)
    catalogue = catalogue_of(pdf)
    assert size_of(pdf) == size
    assert catalogue["/Lang"] == "en"
    assert catalogue["/MarkInfo"]["/Marked"]
    assert b"pdfuaid" in catalogue["/Metadata"].get_data()
    assert scanned_codes(pdf, 0) == [paper_address(document.code)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_stack_card_is_one_page_with_order_faces_marks_and_two_signatures(told_job, paper):
    pages = pages_of(stored(printed(told_job, "stack_card", paper=paper)))
    assert len(pages) == 1
    wanted = (
        "Order from the top of the mount: a · 1 · 2 · 3 · b",
        "3 wide face up",
        "1: 41, 2: 42, 3: 43",
        "Lock nut b: tight",
        "built by",
        "second person, who did not build it",
        "WARNING",
    )
    assert [text for text in wanted if text not in pages[0]] == []


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_card_with_snap_ring_spacer_and_washer_is_one_page_too(paper):
    job, lead = job_with_found_stack(), make_user("lead")
    parts = {
        "ring": {"kind": "snap_ring", "ring": "inner"},
        "spacer": {"kind": "spacer", "ring": "both", "height_mm": 12},
        "washer": {"kind": "lock_washer", "ring": "inner"},
    }
    ring, spacer, washer = ({"uid": uid, "rating_id": None, "data": data} for uid, data in parts.items())
    top, *bearings, nut = triple_items()
    items = [top, ring, *bearings, spacer, washer, nut]
    record = make_stack_record(job, "specified", items=items, started_by=lead)
    approve(actor_for(lead), record)
    pages = pages_of(stored(printed(job, "stack_card", paper=paper)))
    assert len(pages) == 1
    assert "Snap ring b: seated in its groove all the way around." in pages[0]


def test_a_card_without_an_approved_stack_says_that_nothing_is_mounted_by_it():
    words = pages_of(stored(printed(job_with_found_stack(), "stack_card")))[0]
    assert "STOP" in words
    assert "No specified stack is approved" in words


def test_a_job_without_a_stack_prints_a_list_to_write_in():
    words = " ".join(pages_of(stored(printed(make_job()))))
    assert "Stack as found: not recorded yet" in words
    assert "Speed and thrust" not in words


def test_what_was_built_otherwise_than_specified_stands_on_top_as_a_stop(told_job):
    build(told_job, "dud")
    words = pages_of(stored(printed(told_job)))[0]
    stop, plate = words.index("Do not close the motor"), words.index("1,780 rpm")
    assert stop < plate
    assert "upside down" in words[stop:plate]


def test_a_hold_stands_on_top_with_its_reason(told_job):
    hold_job(actor=actor_for(make_user("office")), job=told_job, waits_for="parts", reason="bearings late")
    words = pages_of(stored(printed(told_job)))[0]
    assert "ON HOLD bearings late · waiting for: parts" in words


def test_thrust_is_in_the_readers_units(told_job):
    assert "16,100 N" in " ".join(pages_of(stored(printed(told_job, units="si")))).replace("\xa0", " ")
    assert "3,620 lbf" in " ".join(pages_of(stored(printed(told_job, units="us")))).replace("\xa0", " ")


def test_the_same_content_is_the_same_paper_with_the_same_bytes(told_job):
    first, second = printed(told_job), printed(told_job)
    assert first.pk == second.pk
    assert IssuedDocument.objects.count() == 1
    assert [event.verb for event in Event.objects.of_job(told_job.number)].count("document.issued") == 1


def test_sheet_and_units_make_no_new_revision_but_a_code_of_their_own(told_job):
    papers = [
        printed(told_job, paper=paper, units=units) for paper in ("a4", "letter") for units in ("si", "us")
    ]
    assert {paper.revision for paper in papers} == {1}
    assert len({paper.code for paper in papers}) == 4


def test_an_issued_paper_is_not_changed_by_what_happens_later(told_job):
    first = printed(told_job)
    before = stored(first)
    told_job.motor.tag = "Well 8"
    told_job.motor.save()
    second = printed(told_job)
    assert second.revision == 2
    assert stored(IssuedDocument.objects.get(pk=first.pk)) == before
    assert "Well 7" in pages_of(before)[0]
    assert "Well 8" in pages_of(stored(second))[0]


def test_a_content_that_comes_back_is_the_revision_that_it_was(told_job):
    actor = actor_for(make_user("office"))
    first = printed(told_job)
    hold_job(actor=actor, job=told_job, waits_for="parts", reason="bearings late")
    assert printed(told_job).revision == 2
    told_job.refresh_from_db()
    release_job(actor=actor, job=told_job)
    assert printed(told_job).pk == first.pk


def test_a_paper_whose_facts_changed_while_it_was_made_bears_the_number_of_its_own_facts(told_job):
    make = issuing.pdf_of
    with patch.object(services.issuing, "pdf_of") as slow:

        def others_meanwhile(draft, told):
            slow.side_effect = make
            told_job.motor.tag = "Well 8"
            told_job.motor.save()
            assert printed(told_job, by=make_user("office")).revision == 2
            return make(draft, told)

        slow.side_effect = others_meanwhile
        document = printed(told_job)
    assert document.revision == 1
    words = pages_of(stored(document))[0]
    assert "Traveler · revision 1" in words
    assert "Well 7" in words


def test_facts_that_grew_old_before_they_were_numbered_are_read_again(told_job):
    number = services.numbered
    with patch.object(services, "numbered") as late:

        def others_first(draft, *, after):
            late.side_effect = number
            told_job.motor.tag = "Well 8"
            told_job.motor.save()
            printed(told_job, by=make_user("office"))
            return number(draft, after=after)

        late.side_effect = others_first
        document = printed(told_job)
    assert (document.revision, IssuedDocument.objects.count()) == (1, 1)
    assert "Well 8" in pages_of(stored(document))[0]


def test_two_who_make_the_same_paper_get_the_same_issue(told_job):
    make = issuing.pdf_of
    with patch.object(services.issuing, "pdf_of") as slow:

        def others_first(draft, told):
            slow.side_effect = make
            printed(told_job, by=make_user("office"))
            return make(draft, told)

        slow.side_effect = others_first
        document = printed(told_job)
    assert IssuedDocument.objects.get().pk == document.pk


@pytest.mark.parametrize(("kind", "paper"), [("traveler", "a3"), ("report", "a4"), ("invoice", "a4")])
def test_an_unknown_paper_is_refused(kind, paper):
    with pytest.raises(WorkOrderError, match="A4 or US Letter"):
        printed(make_job(), kind, paper=paper)


def test_a_lost_picture_is_said_on_paper_and_stops_nothing(told_job, settings):
    for file in (settings.MEDIA_ROOT / "photos/print").rglob("*.jpg"):
        file.unlink()
    words = " ".join(pages_of(stored(printed(told_job))))
    assert "Photo 1 (stack beside the mount, top to the left) cannot be shown" in words
    assert "Photo 2 (stack beside the mount, top to the left) cannot be shown" in words


def test_a_changed_picture_is_never_printed_as_the_one_that_was_taken(told_job, settings):
    files = sorted((settings.MEDIA_ROOT / "photos/print").rglob("*.jpg"))
    files[0].write_bytes(files[1].read_bytes())
    assert " ".join(pages_of(stored(printed(told_job)))).count("cannot be shown") == 1


def scan(client, document: IssuedDocument) -> str:
    client.force_login(make_user())
    return client.get(reverse("scanned_paper", args=[document.code])).content.decode()


def test_scanning_a_current_paper_says_so(client, told_job):
    page = scan(client, printed(told_job))
    assert "CURRENT" in page
    assert "SUPERSEDED" not in page


def test_scanning_after_a_signature_says_that_the_paper_still_stands(client, told_job):
    document = printed(told_job)
    walk_one_more(told_job)
    page = scan(client, document)
    assert "You can use this sheet" in page
    assert "steps signed off" in page


def walk_one_more(job: Job) -> None:
    from repairs.work_orders.services.route import sign_off

    step = job.steps.filter(state="waiting").order_by("position")[0]
    sign_off(actor=actor_for(make_user("lead")), step=step, note="as told by phone")


def test_scanning_an_older_revision_says_which_one_took_its_place(client, told_job):
    document = printed(told_job)
    walk_one_more(told_job)
    assert printed(told_job).revision == 2
    page = scan(client, document)
    assert "SUPERSEDED" in page
    assert "Revision 2 replaces it" in page


def test_scanning_after_a_change_that_nobody_printed_says_superseded_too(client, told_job):
    document = printed(told_job)
    hold_job(actor=actor_for(make_user("office")), job=told_job, waits_for="parts", reason="bearings late")
    page = scan(client, document)
    assert "SUPERSEDED" in page
    assert "print it again" in page


def test_a_stranger_who_scans_a_paper_is_asked_to_sign_in(client, told_job):
    document = printed(told_job)
    answer = client.get(reverse("scanned_paper", args=[document.code]))
    assert answer.status_code == 302
    assert told_job.number not in answer.content.decode()


def test_content_costs_a_fixed_number_of_queries(django_assert_max_num_queries):
    job = Job.objects.with_motor().get(pk=job_with_found_stack(photos=6).pk)
    specify(job)
    # Five for the sheets of the open steps: versions, settings, limits, readings held to them, the plate's end play.
    with django_assert_max_num_queries(23):
        issuing.content_of(job, "traveler", CANONICAL)


def test_what_somebody_typed_is_printed_as_text_and_fetches_nothing():
    complaint = '<img src="http://192.0.2.1/x.png"> <script>alert(1)</script> growls & hums'
    words = " ".join(pages_of(stored(printed(make_job(complaint=complaint)))))
    assert "growls & hums" in words
    assert "http://192.0.2.1/x.png" in words


def test_a_judged_value_and_a_run_that_was_not_made_print_on_traveler_and_report():
    job, lead = job_with_found_stack(), actor_for(make_user("lead", first_name="Ada", last_name="Quill"))
    test = job.steps.get(kind=StepKind.FINAL_TEST)
    plain = [papers.traveler(job, CANONICAL), report(job, CANONICAL)]
    assert not any("concessions" in one for one in plain)
    taken = take_figure(
        actor=actor_for(make_user()),
        job=job,
        step=test,
        asked="vib_top_0",
        value=Decimal("1.1"),
        unit="mm/s rms",
    )
    judge_reading(actor=lead, reading=taken, reason="as smooth as when it was new")
    concede_run(
        actor=lead, step=test, reason="No line power at 2300 V here", agreed_by="R. Haas",
        agreed_on=date(2026, 11, 24), agreed_how="phone",
    )  # fmt: skip
    for content, template in (
        (papers.traveler(job, CANONICAL), "documents/_seats.html"),
        (report(job, CANONICAL), "documents/_report_body.html"),
    ):
        words = render_to_string(template, content)
        assert "No limit entered. Accepted by Ada Quill: as smooth as when it was new" in words
        assert "No line power at 2300 V here. Agreed by R. Haas, Nov 24, 2026, phone." in words
        assert "NOT RUN" in words
