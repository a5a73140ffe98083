"""The customer's pages: one job behind one link, nothing else, and nothing left behind."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.documents.links import make_link, revoke_link
from repairs.documents.models import IssuedDocument, PrivateLink
from repairs.documents.reports import issue_report
from repairs.ledger.models import Event, SubmittedForm
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.services.holds import hold_job
from tests.repairs.documents.reading import catalogue_of, pages_of, stored
from tests.repairs.documents.scenes import build, first_photo, job_with_found_stack, measure, specify, walk
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db
PRIVATE = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
    "Cache-Control": "private, no-store",
}


@pytest.fixture
def repaired() -> Job:
    """A job whose stack was found wrong, specified and built right."""
    job = job_with_found_stack(faces="dud")
    specify(job)
    measure(job)
    walk(job, 4)
    build(job)
    return Job.objects.with_motor().get(pk=job.pk)


def issued(job: Job, reason: str = "", **choices) -> IssuedDocument:
    choices = {"paper": "letter", "language": "en", "units": "us", **choices}
    return issue_report(
        actor=actor_for(make_user("office")), job=job, reason=reason, now=timezone.now(), **choices
    )


def link_to(job: Job, days: int = 90, now=None) -> tuple[PrivateLink, str]:
    return make_link(actor=actor_for(make_user("office")), job=job, days=days, now=now or timezone.now())


def address(name: str, token: str, *more) -> str:
    return reverse(f"portal:{name}", args=[token, *more])


def test_a_report_tells_what_was_found_done_measured_and_not_checked(repaired, caplog):
    document = issued(repaired)
    assert [record for record in caplog.records if record.levelname in {"ERROR", "CRITICAL"}] == []
    pdf = stored(document)
    words = " ".join(pages_of(pdf)).replace("\xa0", " ")
    wanted = (
        "HV-20417", "As found", "As built", "Bearing 2 is upside down", "matches the specified stack in every part",
        "stack beside the mount", "ISO 286-2, 100 k5", "100.010 mm", "pass", "FAIL", "not checked",
        "Inez Marlow", "Receive and tag", "Tobias Reeve", "Margin 5", "3,620 lbf", "NOT CHECKED",
        "Accepted by the shop foreman", "DANGER", "licensed practice come first", "page 1 of", document.code,
    )  # fmt: skip
    assert [text for text in wanted if text not in words] == []
    assert catalogue_of(pdf)["/MarkInfo"]["/Marked"]


def test_an_issued_report_stays_as_it_is_and_a_correction_is_a_new_one_with_its_reason(repaired):
    first = issued(repaired)
    before = stored(first)
    with pytest.raises(WorkOrderError, match="Enter the reason") as refusal:
        issued(repaired)
    assert refusal.value.field == "reason"
    second = issued(repaired, "the run-out was read again")
    assert (first.revision, second.revision) == (1, 2)
    assert stored(IssuedDocument.objects.get(pk=first.pk)) == before
    words = " ".join(pages_of(stored(second)))
    assert "Replaces the previous issue. Reason: the run-out was read again" in words


def test_scanning_a_report_that_was_replaced_says_so(client, repaired):
    first = issued(repaired)
    issued(repaired, "the run-out was read again")
    client.force_login(make_user())
    page = client.get(reverse("scanned_paper", args=[first.code])).content.decode()
    assert "SUPERSEDED" in page
    assert "the run-out was read again" in page


def test_only_the_digest_of_a_token_is_kept(repaired):
    link, token = link_to(repaired)
    assert len(token) >= 43  # 32 random bytes
    assert link.token_hash == hashlib.sha256(token.encode()).hexdigest()
    assert token not in str(list(Event.objects.values_list("after", "before", "reason")))


def test_the_customer_reads_progress_and_report_without_an_account(client, repaired):
    issued(repaired)
    _link, token = link_to(repaired)
    answer = client.get(address("job", token))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert all(words in page for words in ("Job status", "Open report (PDF)", "As built", "flipped"))
    assert {name: answer[name] for name in PRIVATE} == PRIVATE
    assert PrivateLink.objects.get().opened == 1


def test_the_file_is_the_issued_one(client, repaired):
    document = issued(repaired)
    _link, token = link_to(repaired)
    answer = client.get(address("report", token))
    assert b"".join(answer.streaming_content) == stored(document)
    assert {name: answer[name] for name in PRIVATE} == PRIVATE


def test_a_job_without_a_report_shows_progress_only(client):
    _link, token = link_to(make_job())
    page = client.get(address("job", token)).content.decode()
    assert "Job status" in page
    assert "Open report (PDF)" not in page
    assert client.get(address("report", token)).status_code == 404


def test_a_link_opens_the_photos_of_its_own_report_and_no_others(client, repaired):
    issued(repaired)
    other = job_with_found_stack()
    issued(other)
    _link, token = link_to(repaired)
    own = client.get(address("photo", token, first_photo(repaired).photo_id))
    assert own.status_code == 200
    assert b"".join(own.streaming_content).startswith(b"\xff\xd8")
    assert own["Content-Type"] == "image/jpeg"
    assert own["Cache-Control"] == "private, no-store"
    assert client.get(address("photo", token, first_photo(other).photo_id)).status_code == 404
    assert client.get(address("photo", token, uuid4())).status_code == 404


def test_a_photo_that_no_report_shows_stays_in_the_shop(client, repaired):
    _link, token = link_to(repaired)
    assert client.get(address("photo", token, first_photo(repaired).photo_id)).status_code == 404


def test_unknown_expired_and_revoked_links_read_the_same(client, repaired):
    issued(repaired)
    gone, revoked = link_to(repaired)
    revoke_link(actor=actor_for(make_user("office")), link=gone, now=timezone.now())
    _late, expired = link_to(repaired, days=1, now=timezone.now() - timedelta(days=2))
    answers = []
    for token in ("never-made", revoked, expired):
        for name in ("job", "report"):
            answer = client.get(address(name, token))
            assert {header: answer[header] for header in PRIVATE} == PRIVATE
            answers.append((answer.status_code, answer.content))
    assert {status for status, _page in answers} == {404}
    assert len({page for _status, page in answers}) == 1


def test_the_shops_own_reasons_for_a_hold_stay_in_the_shop(client, repaired):
    _link, token = link_to(repaired)
    hold_job(actor=actor_for(make_user("office")), job=repaired, waits_for="shop", reason="lathe is broken")
    page = client.get(address("job", token)).content.decode()
    assert "lathe" not in page
    assert "Work is on hold." in page


def test_a_hold_that_waits_for_the_customer_tells_them(client, repaired):
    _link, token = link_to(repaired)
    hold_job(
        actor=actor_for(make_user("office")), job=repaired, waits_for="customer", reason="he never calls back",
        tell_customer="Please approve the cage.",
    )  # fmt: skip
    page = client.get(address("job", token)).content.decode()
    assert "Please approve the cage." in page
    assert "never calls back" not in page


@pytest.mark.parametrize("days", [0, -1, 731])
def test_a_link_ends_within_two_years(repaired, days):
    with pytest.raises(WorkOrderError, match="1 to 730"):
        link_to(repaired, days=days)


class TestOfficePage:
    @pytest.fixture(autouse=True)
    def _office(self, client, repaired, django_capture_on_commit_callbacks):
        self.job, self.client = repaired, client
        self.at_once = django_capture_on_commit_callbacks
        client.force_login(make_user("office"))
        self.url = reverse("office:report", args=[repaired.number])

    def send(self, do: str, key: str = "k", **fields):
        with self.at_once(execute=True):
            return self.client.post(self.url, {"do": do, "form_key": key, **fields})

    def issue(self, key: str = "k", **fields):
        return self.send(
            "issue", key, **{"paper": "a4", "units": "si", "language": "en", "reason": "", **fields}
        )

    def test_a_report_is_issued_once_however_often_the_form_arrives(self):
        assert self.issue().status_code == 302
        assert self.issue().status_code == 302
        assert IssuedDocument.objects.count() == 1

    def test_a_second_report_without_a_reason_is_refused_beside_the_field(self):
        self.issue()
        answer = self.issue("other")
        assert answer.status_code == 422
        assert "Enter the reason for a new issue" in answer.content.decode()
        assert IssuedDocument.objects.count() == 1

    def test_the_link_is_shown_once_and_kept_nowhere(self):
        page = self.send("link", days="30").content.decode()
        token = page.split("/my/")[1].split("/")[0]
        assert self.client.get(address("job", token)).status_code == 200
        assert token not in str(list(SubmittedForm.objects.values_list("answer", flat=True)))
        assert token not in self.client.get(self.url).content.decode()
        again = self.send("link", days="30")
        assert again.status_code == 302
        assert PrivateLink.objects.count() == 1

    def test_a_link_is_taken_back(self):
        link, token = link_to(self.job)
        self.send("revoke", link=link.pk)
        self.send("revoke", link=link.pk)
        assert self.client.get(address("job", token)).status_code == 404
        assert [event.verb for event in Event.objects.of_job(self.job.number)].count("link.revoked") == 1

    def test_a_link_of_another_job_cannot_be_taken_back_from_here(self):
        link, _token = link_to(make_job())
        assert self.send("revoke", link=link.pk).status_code == 404
        assert PrivateLink.objects.get(pk=link.pk).revoked_at is None

    def test_days_out_of_range_are_refused_with_what_was_typed(self):
        answer = self.send("link", days="9999")
        assert answer.status_code == 422
        assert "9999" in answer.content.decode()

    def test_an_issued_report_can_be_opened_again(self):
        self.issue()
        document = IssuedDocument.objects.get()
        answer = self.client.get(reverse("office:issued_paper", args=[document.code]))
        assert b"".join(answer.streaming_content) == stored(document)

    def test_the_page_costs_a_fixed_number_of_queries(self, django_assert_max_num_queries):
        for _one in range(3):
            link_to(self.job)
        # Most of them read what the report would say now: whether it is interim, reviewed, newer than the issued one.
        # Each of the two records that are judged asks for its measured seats once. The report's shop tests and the
        # damage found on parts cost one query each, whether there is any or not.
        with django_assert_max_num_queries(44) as seen:
            self.client.get(self.url)
        asked = [one["sql"] for one in seen.captured_queries]
        assert sum('FROM "measurements_observation"' in sql for sql in asked) == 1
        assert sum('FROM "measurements_testrecord"' in sql for sql in asked) == 1

    @pytest.mark.parametrize("role", ["technician", "engineer"])
    def test_people_without_the_permission_are_refused(self, role):
        self.client.force_login(make_user(role))
        assert self.client.get(self.url).status_code == 403
        assert self.issue().status_code == 403
