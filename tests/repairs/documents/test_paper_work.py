"""Papers asked for on a page: nobody waits, reading writes nothing, what is asked for twice is made once."""

from __future__ import annotations

import re
from unittest.mock import patch

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.documents import issuing, services
from repairs.documents.models import IssuedDocument, PaperFault, PaperRevision
from repairs.documents.rendering import PaperError
from repairs.ledger.models import Event
from repairs.long_work.models import LongWork
from repairs.work_orders.models import Job
from tests.repairs.documents.reading import size_of, stored
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import make_job, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return make_job(complaint="It growls.")


@pytest.fixture
def at_once(django_capture_on_commit_callbacks):
    """Let what is asked for be made before the next line of the test."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


def address(job: Job, kind: str = "job_tag") -> str:
    return reverse("office:document", args=[job.number, kind])


def test_asking_answers_at_once_with_the_page_that_opens_the_paper_when_it_is_ready(client, job, at_once):
    client.force_login(make_user(units="si"))
    with patch.object(issuing, "render_pdf", side_effect=AssertionError("the page waited for the PDF")):
        answer = client.post(address(job))
    work = LongWork.objects.get()
    progress = reverse("office:paper_work", args=[job.number, work.pk])
    assert (answer.status_code, answer.url) == (302, progress)
    waiting = client.get(progress)
    assert waiting.status_code == 200
    assert f'<a href="{progress}">' in waiting.text  # without a script, too
    assert 'hx-trigger="every 1s"' in waiting.text
    assert IssuedDocument.objects.count() == 0
    with at_once():
        again = client.post(address(job))
    assert again.url == progress
    assert LongWork.objects.count() == 1


def test_a_finished_paper_opens_from_the_page_that_watched_it(client, job, at_once):
    client.force_login(make_user(units="si"))
    with at_once():
        progress = client.post(address(job)).url
    document = IssuedDocument.objects.get()
    answer = client.get(progress)
    assert answer.url == reverse("office:issued_paper", args=[document.code])
    assert client.get(progress, headers={"hx-request": "true"}).headers["HX-Refresh"] == "true"
    paper = client.get(answer.url)
    pdf = b"".join(paper.streaming_content)
    assert (paper["Content-Type"], size_of(pdf)) == ("application/pdf", (612, 792))
    assert pdf == stored(document)


def test_a_paper_that_is_there_is_handed_out_and_nothing_is_asked_for(client, job, at_once):
    client.force_login(make_user())
    with at_once():
        client.post(address(job))
    document = IssuedDocument.objects.get()
    assert b"".join(client.get(address(job)).streaming_content) == stored(document)
    assert client.post(address(job)).url == reverse("office:issued_paper", args=[document.code])
    assert (LongWork.objects.count(), IssuedDocument.objects.count()) == (1, 1)


@pytest.mark.parametrize("method", ["get", "head"])
def test_reading_offers_a_paper_and_writes_nothing(client, job, method):
    client.force_login(make_user())
    with CaptureQueriesContext(
        connection,
    ) as asked:
        answer = getattr(client, method)(address(job, "traveler"))
    assert answer.status_code == 200
    assert [row["sql"] for row in asked if re.match(r"(INSERT|UPDATE|DELETE)", row["sql"])] == []
    assert (LongWork.objects.count(), PaperRevision.objects.count(), IssuedDocument.objects.count()) == (
        0,
        0,
        0,
    )
    if method == "get":
        assert "Print Traveler" in answer.text


def test_head_of_a_paper_answers_like_get_without_a_body(client, job, at_once):
    client.force_login(make_user())
    with at_once():
        client.post(address(job))
    for url in (address(job), reverse("office:issued_paper", args=[IssuedDocument.objects.get().code])):
        answer = client.head(url)
        assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
        assert b"".join(answer) == b""


@pytest.mark.parametrize("role", ["office", "technician", "engineer", "lead"])
def test_everybody_of_the_shop_may_print(client, job, role, at_once):
    client.force_login(make_user(role))
    with at_once():
        client.post(address(job))
    assert IssuedDocument.objects.count() == 1


def test_a_missing_library_is_explained_and_the_paper_can_be_asked_for_again(client, job, at_once):
    client.force_login(make_user())
    with (
        patch.object(issuing, "render_pdf", side_effect=PaperError("PDFs need libpango-1.0-0")),
        at_once(),
    ):
        progress = client.post(address(job)).url
    page = client.get(progress).text
    assert "PDFs need libpango-1.0-0" in page
    assert "Print again" in page
    assert IssuedDocument.objects.count() == 0
    with at_once():
        client.post(progress)
    assert client.get(progress).url == reverse(
        "office:issued_paper", args=[IssuedDocument.objects.get().code]
    )


def test_a_sheet_or_a_kind_that_is_not_known_is_explained(client, job):
    client.force_login(make_user())
    for answer in (
        client.get(address(job) + "?paper=a3"),
        client.post(address(job), {"paper": "a3"}),
        client.post(address(job, "invoice")),
    ):
        assert answer.status_code == 422
        assert "Choose A4 or US Letter paper" in answer.text
    assert LongWork.objects.count() == 0


def test_another_jobs_work_is_not_watched_from_here(client, job):
    client.force_login(make_user())
    client.post(address(job))
    other = reverse("office:paper_work", args=[make_job().number, LongWork.objects.get().pk])
    assert client.get(other).status_code == 404


def test_a_print_run_that_was_cut_off_is_started_again_by_asking_again(client, job, at_once):
    client.force_login(make_user())
    client.post(address(job))
    work = LongWork.objects.get()
    LongWork.objects.update(state="running", attempt=1, heartbeat="2026-01-01T00:00Z")
    with at_once():
        client.post(address(job))
    work.refresh_from_db()
    assert (work.state, LongWork.objects.count()) == ("done", 1)


def damage(document: IssuedDocument, settings, content: bytes | None) -> None:
    path = settings.MEDIA_ROOT / document.file
    if content is None:
        path.unlink()
    else:
        path.write_bytes(content)


@pytest.mark.parametrize(
    ("content", "status", "words"),
    [(None, 410, "is missing"), (b"%PDF-1.7 another one", 409, "changed after it was issued")],
)
def test_a_stored_paper_that_is_not_what_was_issued_is_refused_and_told(
    client, job, at_once, settings, content, status, words
):
    client.force_login(make_user())
    with at_once():
        client.post(address(job))
    document = IssuedDocument.objects.get()
    sound = stored(document)
    damage(document, settings, content)
    for url in (address(job), reverse("office:issued_paper", args=[document.code])):
        answer = client.get(url)
        assert answer.status_code == status
        assert words in answer.text
    assert PaperFault.objects.open().count() == 1
    assert Event.objects.filter(verb="document.damaged").count() == 1
    (settings.MEDIA_ROOT / document.file).write_bytes(sound)
    assert client.get(address(job)).status_code == 200
    assert PaperFault.objects.open().count() == 0


def test_the_administrator_reads_which_papers_are_damaged(client, job, at_once, settings):
    client.force_login(make_user())
    with at_once():
        client.post(address(job))
    document = IssuedDocument.objects.get()
    damage(document, settings, None)
    client.get(address(job))
    assert document.code not in client.get(reverse("office:board")).text
    client.force_login(make_user("administrator"))
    page = client.get(reverse("office:board")).text
    assert "1 document file is damaged" in page
    assert document.code in page


class TestOneMoment:
    """Without a test's own transaction, so that the snapshot is the real one."""

    pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]

    def test_a_paper_is_read_in_one_snapshot_that_keeps_nobody_from_writing(self):
        job = job_with_found_stack()
        seen = []
        read = services.issuing.content_of

        def others_write(own, kind, reader):
            content = read(own, kind, reader)
            if not seen:
                seen.append(write_elsewhere(job))
            return content

        with patch.object(services.issuing, "content_of", others_write):
            facts = services.read_facts(job.pk, "traveler", services.Reader("en", "us"))
        assert facts.content["head"]["purchase_order"] == "PO 88-4410"
        assert seen == [1]
        job.refresh_from_db()
        assert job.purchase_order == "changed meanwhile"

    def test_nothing_can_be_written_while_a_paper_is_read(self):
        from django.db import DatabaseError, transaction

        from repairs.ledger.snapshots import one_snapshot

        job = make_job()
        with pytest.raises((DatabaseError, transaction.TransactionManagementError)), one_snapshot():
            Job.objects.filter(pk=job.pk).update(purchase_order="written in a snapshot")
        job.refresh_from_db()
        assert job.purchase_order != "written in a snapshot"
        Job.objects.filter(pk=job.pk).update(purchase_order="written after it")


def write_elsewhere(job: Job) -> int:
    """Write over a connection of its own, as another person's request does."""
    from concurrent.futures import ThreadPoolExecutor

    def write() -> int:
        try:
            return Job.objects.filter(pk=job.pk).update(purchase_order="changed meanwhile")
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as pool:
        return pool.submit(write).result(timeout=10)
