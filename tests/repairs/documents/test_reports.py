"""The report: interim until the final test, reviewed by a lead, and nothing in it that is the shop's own."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from repairs.documents.content.reader import CANONICAL
from repairs.documents.links import make_link
from repairs.documents.models import IssuedDocument, ReportReview
from repairs.documents.reports import issue_report, read_report, review_report
from repairs.documents.services import issue_document
from repairs.ledger.models import Event
from repairs.long_work.models import LongWork
from repairs.measurements.models import Reading
from repairs.measurements.services import correct_reading
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import AcceptedFinding, Job, Override, StackRecord, Step, StepKind
from repairs.work_orders.services.holds import hold_job
from repairs.work_orders.services.route import skip_step
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import build, job_with_found_stack, measure, specify
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db
OWN = "the boss said 400 dollars"


def finished(job: Job | None = None) -> Job:
    """Return a job of which everything through the final test is done; the signatures are another test's subject."""
    job = job or make_job()
    behind = job.steps.exclude(kind__in=(StepKind.SHIP, StepKind.REPORT))
    behind.update(state=Step.State.DONE, ended_at=timezone.now())
    return Job.objects.with_motor().get(pk=job.pk)


def reviewed(job: Job, by=None) -> ReportReview:
    lead = by or make_user("lead", first_name="Tobias", last_name="Reeve")
    digest = read_report(job.pk, CANONICAL).digest
    return review_report(actor=actor_for(lead), job=job, digest=digest, now=timezone.now())


def issued(job: Job, reason: str = "") -> IssuedDocument:
    return issue_report(
        actor=actor_for(make_user("office")), job=job, paper="letter", language="en", units="us", reason=reason,
        now=timezone.now(),
    )  # fmt: skip


def override(step: Step, **words: str) -> Override:
    """Two people left a step out; how they come to it is tested elsewhere."""
    lead, second = make_user("lead"), make_user("engineer")
    return Override.objects.create(
        job=step.job, step=step, act=Override.Act.SKIP, reason=OWN, lead=lead, lead_name=str(lead), lead_session="a",
        second=second, second_name=str(second), confirmed_at=timezone.now(), reasons=[{"key": "x", "text": OWN}],
        **words,
    )  # fmt: skip


def words_of(document: IssuedDocument) -> str:
    return " ".join(pages_of(stored(document))).replace("\xa0", " ")


class TestInterim:
    def test_until_the_final_test_is_done_it_is_an_interim_report_that_says_what_is_open(self):
        document = issued(make_job())
        first = pages_of(stored(document))[0]
        assert "Interim report" in first
        assert first.index("OPEN STEPS") < first.index("Motor")
        assert "The repair is not finished" in first
        assert document.content["interim"]

    @pytest.mark.parametrize("kind", [StepKind.FINAL_TEST, StepKind.RECEIVE])
    def test_one_open_step_keeps_it_interim(self, kind):
        job = finished()
        assert not read_report(job.pk, CANONICAL).content["interim"]
        job.steps.filter(kind=kind).update(state=Step.State.WAITING)
        content = read_report(job.pk, CANONICAL).content
        assert content["interim"]
        assert content["notices"][-1]["rows"] == [job.steps.get(kind=kind).title]

    def test_a_step_of_the_chain_that_was_left_out_is_open_until_two_people_answer_for_it(self):
        job = finished()
        test = job.steps.get(kind=StepKind.FINAL_TEST)
        job.steps.filter(pk=test.pk).update(state=Step.State.SKIPPED, skip_reason=OWN)
        assert read_report(job.pk, CANONICAL).content["interim"]
        override(test)
        assert not read_report(job.pk, CANONICAL).content["interim"]

    def test_a_plain_step_that_was_left_out_keeps_nothing_open(self):
        job = finished()
        job.steps.filter(kind=StepKind.WINDING).update(state=Step.State.SKIPPED)
        assert not read_report(job.pk, CANONICAL).content["interim"]

    def test_a_stop_that_stands_keeps_it_interim(self):
        job = job_with_found_stack()
        specify(job)
        build(job, "dud")
        job = finished(job)
        content = read_report(job.pk, CANONICAL).content
        assert content["interim"]
        assert content["notices"][0]["severity"] == "stop"
        assert "Do not run the motor" in content["notices"][0]["action"]

    def test_an_interim_report_needs_no_review(self):
        assert issued(make_job()).content["review"] is None


class TestReview:
    def test_a_final_report_is_not_issued_before_a_lead_reviewed_it(self):
        job = finished()
        with pytest.raises(WorkOrderError, match="must review this report"):
            issued(job)
        assert IssuedDocument.objects.count() == 0
        reviewed(job)
        document = issued(job)
        words = words_of(document)
        assert "Interim" not in words
        assert "Reviewed by Tobias Reeve" in words

    def test_facts_that_change_after_the_review_need_a_new_one(self):
        job = finished()
        reviewed(job)
        measure(job)
        with pytest.raises(WorkOrderError, match="changed since a lead reviewed it"):
            issued(job)
        reviewed(job)
        assert issued(job).revision == 1

    def test_a_page_that_has_moved_on_reviews_nothing(self):
        job = finished()
        digest = read_report(job.pk, CANONICAL).digest
        measure(job)
        with pytest.raises(WorkOrderError, match="changed since you opened this page"):
            review_report(actor=actor_for(make_user("lead")), job=job, digest=digest, now=timezone.now())
        assert ReportReview.objects.count() == 0

    def test_the_same_review_twice_is_one(self):
        job, lead = finished(), make_user("lead")
        assert reviewed(job, lead).pk == reviewed(job, lead).pk
        assert Event.objects.filter(verb="report.reviewed").count() == 1

    @pytest.mark.parametrize("role", ["office", "technician", "engineer"])
    def test_nobody_but_a_lead_reviews(self, role, client):
        job = finished()
        with pytest.raises(WorkOrderError, match="Only a lead"):
            reviewed(job, make_user(role))
        client.force_login(make_user(role))
        facts = read_report(job.pk, CANONICAL).digest
        assert (
            client.post(reverse("office:report_preview", args=[job.number]), {"facts": facts}).status_code
            == 403
        )
        assert ReportReview.objects.count() == 0

    def test_a_lead_approves_on_the_preview_what_the_page_shows(self, client):
        job = job_with_found_stack()
        specify(job)
        build(job)
        job = finished(job)
        lead = make_user("lead")
        client.force_login(lead)
        url = reverse("office:report_preview", args=[job.number])
        page = client.get(url).text
        facts = read_report(job.pk, CANONICAL).digest
        assert f'name="facts" value="{facts}"' in page
        assert "Wide face" in page or "wide face" in page
        assert client.post(url, {"facts": facts}).status_code == 302
        review = ReportReview.objects.get()
        assert (review.reviewed_by, review.facts_hash) == (lead, facts)
        stale = client.post(url, {"facts": "0" * 64})
        assert stale.status_code == 409
        assert "Read it again" in stale.text

    def test_the_office_is_told_at_once_and_a_change_while_it_is_made_stops_it(
        self, client, django_capture_on_commit_callbacks
    ):
        job = finished()
        client.force_login(make_user("office"))
        url = reverse("office:report", args=[job.number])
        form = {"do": "issue", "form_key": "k", "paper": "a4", "units": "si", "language": "en", "reason": ""}
        refused = client.post(url, form)
        assert refused.status_code == 422
        assert "must review this report" in refused.text
        assert LongWork.objects.count() == 0
        reviewed(job)
        with django_capture_on_commit_callbacks() as waiting:
            progress = client.post(url, form).url
        measure(job)
        for callback in waiting:
            callback()
        assert "changed since a lead reviewed it" in client.get(progress).text
        assert IssuedDocument.objects.count() == 0


class TestNewerFacts:
    def scanned(self, client, document: IssuedDocument) -> str:
        client.force_login(make_user())
        return client.get(reverse("scanned_paper", args=[document.code])).text

    def test_a_reading_corrected_after_the_issue_is_said_until_a_new_issue(self, client):
        job = make_job()
        measure(job)
        document = issued(job)
        assert "CURRENT" in self.scanned(client, document)
        correct_reading(
            actor=actor_for(make_user("technician")),
            reading=Reading.objects.latest("id"),
            value=Decimal(1),
            reason="misread",
        )
        page = self.scanned(client, document)
        assert "JOB CHANGED" in page
        assert "CURRENT" not in page
        second = issued(job, "a reading was corrected")
        assert "CURRENT" in self.scanned(client, second)
        assert "SUPERSEDED" in self.scanned(client, document)

    def test_what_it_does_not_print_makes_no_newer_facts(self, client):
        job = make_job()
        document = issued(job)
        Job.objects.filter(pk=job.pk).update(promised_on=date(2027, 3, 1), priority="rush")
        job.steps.filter(kind=StepKind.SHIP).update(state=Step.State.DONE)
        assert "CURRENT" in self.scanned(client, document)


class TestTheShopsOwnWords:
    @pytest.fixture
    def job(self) -> Job:
        """A job on which every reason is the shop's own; two of them have a sentence for the customer."""
        job = job_with_found_stack()
        specify(job)
        build(job)
        AcceptedFinding.objects.update(reason=OWN)
        QuerySet(StackRecord).update(reason=OWN, note=OWN)  # past the guard of signed records
        lead = actor_for(make_user("lead"))
        skip_step(actor=lead, step=job.steps.filter(kind=StepKind.WINDING).first(), reason=OWN)
        hold_job(actor=lead, job=job, waits_for="customer", reason=OWN)
        override(job.steps.get(kind=StepKind.FINAL_TEST))
        return Job.objects.with_motor().get(pk=job.pk)

    def everything_a_customer_gets(self, job: Job, client) -> str:
        document = issued(job)
        _link, token = make_link(actor=actor_for(make_user("office")), job=job, days=9, now=timezone.now())
        page = client.get(reverse("portal:job", args=[token])).text
        return " ".join((words_of(document), json.dumps(document.content, ensure_ascii=False), page))

    def test_no_reason_of_the_shop_reaches_the_customer(self, job, client):
        told = self.everything_a_customer_gets(job, client)
        assert OWN not in told
        for advice in (
            "shop asks",
            "Take bearings",
            "Choose bearings",
            "Nobody knows",
            "agree the",
            "this shop",
        ):
            assert advice not in told
        assert "Work is on hold, waiting for you" in told
        assert "The shop foreman skipped this step" in told
        assert "Accepted by the shop foreman" in told

    def test_what_the_shop_writes_for_the_customer_is_what_they_read(self, job, client):
        job.holds.update(tell_customer="We wait for your cable gland.")
        job.steps.filter(state=Step.State.SKIPPED).update(tell_customer="Winding tested good.")
        AcceptedFinding.objects.update(tell_customer="Good for your fixed line speed.")
        Override.objects.update(tell_customer="Tested at the pump with your consent.")
        told = self.everything_a_customer_gets(job, client)
        for words in (
            "We wait for your cable gland.",
            "Winding tested good.",
            "Good for your fixed line speed.",
            "Tested at the pump with your consent.",
        ):
            assert words in told

    def test_the_papers_of_the_shop_keep_them(self, job):
        paper = issue_document(
            actor=actor_for(make_user("lead")), job=job, kind="traveler", paper="a4", language="en", units="si",
            now=timezone.now(),
        )  # fmt: skip
        assert words_of(paper).count(OWN) >= 3

    def test_the_forms_take_what_the_customer_is_told(self, client):
        job = make_job()
        client.force_login(make_user("lead"))
        form = {
            "form_key": "a",
            "do": "hold",
            "waits_for": "parts",
            "reason": OWN,
            "tell_customer": "Bearings are on order.",
        }
        assert client.post(reverse("office:job_hold", args=[job.number]), form).status_code == 302
        assert job.holds.get().tell_customer == "Bearings are on order."
        step = job.steps.get(kind=StepKind.WINDING)
        form = {
            "form_key": "b",
            "do": "skip",
            "step": step.pk,
            "reason": OWN,
            "tell_customer": "Winding tested good.",
        }
        assert client.post(reverse("office:job_route", args=[job.number]), form).status_code == 302
        step.refresh_from_db()
        assert (step.skip_reason, step.tell_customer) == (OWN, "Winding tested good.")


def test_a_stop_and_an_override_stand_first_on_report_and_customers_page(client):
    job = job_with_found_stack()
    specify(job)
    build(job, "dud")
    override(job.steps.get(kind=StepKind.FINAL_TEST))
    document = issued(job)
    _link, token = make_link(actor=actor_for(make_user("office")), job=job, days=9, now=timezone.now())
    page = client.get(reverse("portal:job", args=[token])).text
    for text in (pages_of(stored(document))[0], page):
        stop, over = text.index("STOP"), text.index("OVERRIDE")
        assert stop < over
        assert "does not match the specified stack" in text[stop:over]
    assert page.index("OVERRIDE") < page.index("route__step")
