"""Pick a job at the bench."""

from __future__ import annotations

from typing import Final

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from repairs.ledger.models import Event
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Job, LateEntry, WorkPeriod
from repairs.work_orders.waiting import waiting_for

MOST_FOUND: Final = 12
MOST_WAITING: Final = 8
MY_RECENT: Final = 6
EVENTS_LOOKED_AT: Final = 200


@require_GET
@allow(Permission.WORK_STEPS)
@vary_on_headers("HX-Request")
def home(request: ShopRequest) -> HttpResponse:
    """Type or scan a number; below it what waits for this person, their last jobs, then those promised first."""
    typed = request.GET.get("number", "").strip().upper()[:12]
    found = list(Job.objects.with_motor().filter(number__contains=typed)[:MOST_FOUND]) if typed else []
    if typed and not request.htmx and len(found) == 1:
        return redirect("bench:job", number=found[0].number)
    if request.htmx:
        return render(request, "bench/_found_jobs.html", {"typed": typed, "found": found})
    return render(request, "bench/home.html", {"typed": typed, "found": found, **_lists(request.user)})


def _lists(user: User) -> dict[str, object]:
    """Return the jobs in a person's hands, those that wait for them, and the others, each job once."""
    waiting = waiting_for(user, MOST_WAITING)
    clock = WorkPeriod.objects.running().select_related("step__job").filter(person=user).first()
    mine = recent_jobs(user)
    shown = {one.job.pk for one in waiting} | {job.pk for job in mine}
    moving = Job.objects.open().with_motor().filter(on_hold=False).exclude(pk__in=shown)
    late = LateEntry.objects.for_signer(user.pk).count()
    if user.may(Permission.REOPEN_JOBS):
        late += LateEntry.objects.after_the_end().count()
    return {
        "late": late,
        "clock": clock,
        "handed": [one.job for one in waiting if one.why == "handed"],
        "to_approve": [one.job for one in waiting if one.why == "approval"],
        "to_verify": [one.job for one in waiting if one.why == "second_person"],
        "mine": mine,
        "jobs": moving.order_by("due_on", "id")[:MOST_FOUND],
    }


def recent_jobs(user: User) -> list[Job]:
    """Return the open jobs that a person did something to last, newest first."""
    events = Event.objects.filter(actor=user).exclude(job_number="").order_by("-id")
    numbers = list(dict.fromkeys(events.values_list("job_number", flat=True)[:EVENTS_LOOKED_AT]))
    jobs = {job.number: job for job in Job.objects.open().with_motor().filter(number__in=numbers)}
    return [jobs[number] for number in numbers if number in jobs][:MY_RECENT]
