"""Which pages a tablet keeps to be read without network, and the worker that keeps them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Final

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.db.models import Max
from django.http import HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from repairs.bench.home import MOST_FOUND, recent_jobs
from repairs.bench.shop_test_page import test_url
from repairs.ledger.models import Event
from repairs.measurements.models import ReadingSheet
from repairs.measurements.shop_tests.judging import sheet_codes
from repairs.measurements.shop_tests.sheets import pick_sheet
from repairs.people.models import User
from repairs.people.permissions import Permission, allow, open_to_everyone
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import HandOver, Job, StackRecord, Stage, Step

MOST_HANDED: Final = 6
# Pages that ask who is there.
NOT_KEPT: Final = ("people", "go_on", "new_pin", "enrol")
WORKER: Final = ("js/outbox_store.js", "js/outbox_sender.js", "js/bench_worker.js")
# What a page of the bench is made of. A test holds this list against the pages.
SHELL: Final = (
    *(f"css/{name}.css" for name in ("fonts", "tokens", "base", "forms", "parts", "drawing", "bench")),
    *(f"css/{name}.css" for name in ("recorder", "outbox", "wall")),
    *(f"js/{name}.js" for name in ("shell", "photos", "recorder", "outbox_store", "outbox_sender")),
    *(
        f"js/{name}.js"
        for name in ("outbox_forms", "outbox_bar", "outbox_page", "shop_figures", "shared_tablet")
    ),
    "django_htmx/htmx-2.min.js",
    "img/mark.svg",
    *(f"fonts/barlow-latin-{weight}.woff2" for weight in (400, 500, 600, 700)),
    *(f"fonts/barlow-condensed-latin-{weight}.woff2" for weight in (500, 600, 700)),
    *(f"fonts/signs-{weight}.woff2" for weight in (400, 700)),
)


@require_GET
@open_to_everyone
def worker(request: ShopRequest) -> HttpResponse:
    """Give the worker's script out from an address that lets it see every page of the shop."""
    response = HttpResponse(worker_script(), content_type="text/javascript")
    response.headers["Service-Worker-Allowed"] = "/"
    response.headers["Cache-Control"] = "no-cache"
    return response


@lru_cache(maxsize=1)
def worker_script() -> str:
    """Return the worker's few lines: what it keeps, in which edition, and where the rest of it is."""
    addresses = [staticfiles_storage.url(name) for name in SHELL]
    told = {
        "edition": edition(),
        "shell": addresses,
        "files": settings.STATIC_URL,
        "bench": reverse("bench:home"),
        "notKept": reverse("bench:not_kept"),
        "never": [reverse(f"bench:{name}") for name in NOT_KEPT],
        "photos": "/photos/",
        "customer": "/my/",
    }
    scripts = ", ".join(json.dumps(staticfiles_storage.url(name)) for name in WORKER)
    return f"self.shop = {json.dumps(told)};\nimportScripts({scripts});\n"


@lru_cache(maxsize=1)
def edition() -> str:
    """Return a digest of everything that the worker keeps: another digest makes every tablet fetch it anew."""
    kept = []
    for name in sorted({*SHELL, *WORKER}):
        found = finders.find(name)
        kept.append(name.encode())
        if isinstance(found, str):
            kept.append(Path(found).read_bytes())
    return hashlib.sha256(b"\0".join(kept)).hexdigest()[:12]


@require_GET
@allow(Permission.WORK_STEPS)
def today(request: ShopRequest) -> JsonResponse:
    """Name the pages that this person's tablet keeps, each with a mark that changes with its job."""
    return JsonResponse({"person": request.user.pk, "pages": pages_of_today(request.user)})


@require_GET
@allow(Permission.VIEW_SHOP)
def not_kept(request: ShopRequest) -> HttpResponse:
    """Say that a page is not on the tablet; the worker shows this one where the network is gone."""
    return render(request, "bench/not_kept.html")


def todays_jobs(user: User) -> tuple[list[Job], list[Job]]:
    """Return the jobs in this person's hands, and those that wait for anybody, promised first."""
    mine = recent_jobs(user)
    open_notes = HandOver.objects.filter(accepted_at__isnull=True).exclude(written_by=user)
    handed = Job.objects.open().filter(pk__in=open_notes.values("job_id")).order_by("due_on", "id")
    mine += [job for job in handed[:MOST_HANDED] if job not in mine]
    waiting = Job.objects.open().filter(on_hold=False).exclude(pk__in=[job.pk for job in mine])
    return mine, list(waiting.order_by("due_on", "id")[:MOST_FOUND])


def pages_of_today(user: User) -> list[dict[str, object]]:
    """Return the addresses to keep, the nearest first. Makes a handful of queries, whatever the number of jobs."""
    mine, waiting = todays_jobs(user)
    jobs = [*mine, *waiting]
    numbers = [job.number for job in jobs]
    newest = Event.objects.filter(job_number__in=numbers).values("job_number").annotate(last=Max("id"))
    marks = dict(newest.values_list("job_number", "last"))
    records: dict[int, list[StackRecord]] = {}
    for record in StackRecord.objects.filter(job__in=jobs).current().defer("undo"):
        records.setdefault(record.job_id, []).append(record)
    general = f"{edition()}.{len(jobs)}.{max(marks.values(), default=0)}"
    pages = [(reverse(f"bench:{name}"), general) for name in ("home", "outbox", "not_kept")]
    near, tests = {job.pk for job in mine}, test_pages(mine)
    for job in jobs:
        mark = f"{edition()}.{marks.get(job.number, 0)}"
        own = job_pages(job, records.get(job.pk, []), near=job.pk in near, user=user)
        pages += [(url, mark) for url in (*own, *tests.get(job.pk, ()))]
    return [{"url": url, "mark": mark} for url, mark in pages]


def test_pages(jobs: list[Job]) -> dict[int, list[str]]:
    """Return the pages of the tests that each job's next step asks for. Two queries, whatever the number of jobs."""
    waiting = Step.objects.filter(job__in=jobs, state=Step.State.WAITING).select_related("job__motor")
    steps = {step.job_id: step for step in waiting.order_by("-position")}
    sheets = list(ReadingSheet.objects.current()) if steps else []
    return {
        job_id: [
            test_url(step, code) for code in sheet_codes(pick_sheet(sheets, step.kind, step.job.motor.build))
        ]
        for job_id, step in steps.items()
    }


def job_pages(job: Job, records: list[StackRecord], *, near: bool, user: User) -> Iterator[str]:
    """Yield the pages of a job; of one in this person's hands also the parts of the stacks being recorded."""
    for name in ("job", "reading", "photos", "seats", "parts"):
        yield reverse(f"bench:{name}", args=[job.number])
    for record in records:
        stack = reverse("bench:stack", args=[job.number, record.stage])
        yield stack
        yield f"{reverse('bench:photos', args=[job.number])}?stage={record.stage}"
        specified = record.stage == Stage.SPECIFIED
        if near and not record.is_frozen and (not specified or user.may(Permission.SPECIFY_STACKS)):
            for entry in record.items:
                yield f"{stack}?item={entry['uid']}"
                yield reverse("bench:stack_item", args=[job.number, record.stage, entry["uid"]])
            yield reverse("bench:stack_new_item", args=[job.number, record.stage, "bearing"])
    if any(record.stage == Stage.SPECIFIED for record in records):
        for name in ("compare", "lay_out", "stack_wall"):
            yield reverse(f"bench:{name}", args=[job.number])
