"""Fill a database with a shop of any size, quickly. Every name is invented."""

from __future__ import annotations

import random
from datetime import timedelta
from importlib import import_module
from typing import Any

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.utils import timezone

from repairs.customers.models import Customer, Site
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.people.models import User
from repairs.work_orders.models import Job, Step, StepKind
from repairs.work_orders.search import reindex_all
from tests.benchmarks.full_job import fill_job
from tests.benchmarks.measuring import JOB_WITH_HISTORY

FIRST = ("Kestrel", "Dune", "Saltgrass", "Orrin", "Marrow", "Tamarack", "Gull", "Bracken", "Ostler", "Vane")
SECOND = ("Paper", "Water", "Flats", "Mill", "Irrigation", "Quarry", "Cement", "Foundry", "Ice", "Grain")
TAGS = ("Well", "fan", "booster", "sump", "vacuum", "circulator", "lift", "cooling")
KINDS = [kind for kind in StepKind.values if kind != StepKind.OTHER]
# A shop works on some of its jobs; the rest is history. A twentieth of a hundred thousand is a very large shop.
OPEN_SHARE = 0.05
LEAST_OPEN = 1_000
EVENTS_OF_A_JOB = 20


def fill(jobs: int) -> None:
    """Write customers, motors and jobs, the index of the search, and one job with its route and history."""
    dice = random.Random(jobs)
    office = User.objects.create_user("office", first_name="Ada", last_name="Office", role="lead")
    motors = _motors(jobs, dice)
    opened = max(LEAST_OPEN, int(OPEN_SHARE * jobs))
    now = timezone.now()
    rows = (_job(n, motors, office, now, dice, is_open=n > jobs - opened) for n in range(1, jobs + 1))
    Job.objects.bulk_create(rows, batch_size=2000)
    reindex_all()
    _history(Job.objects.get(number=JOB_WITH_HISTORY), office)


def number_of(n: int) -> str:
    """Return the number of the n-th job, ten thousand a year."""
    return f"{n // 10000 + 10:02d}-{n % 10000:04d}"


def _motors(jobs: int, dice: random.Random) -> list[Motor]:
    names = [f"{a} {b} {n}" for n in range(max(1, jobs // 5000)) for a in FIRST for b in SECOND]
    customers = Customer.objects.bulk_create(Customer(name=name) for name in names)
    sites = Site.objects.bulk_create(Site(customer=c, name="North station") for c in customers)
    return Motor.objects.bulk_create(
        (
            Motor(
                customer=(site := dice.choice(sites)).customer, site=site, nameplate=_plate(dice),
                serial=f"RM-{n:06d}-{dice.choice('ABC')}", tag=f"{dice.choice(TAGS)} {dice.randint(1, 99)}",
            )
            for n in range(1, jobs // 2 + 1)
        ),
        batch_size=2000,
    )  # fmt: skip


def _plate(dice: random.Random) -> dict[str, Any]:
    power, speed = dice.randint(50, 500), dice.choice((590, 885, 1185, 1780))
    read = {"state": "read", "typed": "", "unit": ""}
    numbers = {"power_w": 745.6998715822702 * power, "rated_speed_rpm": speed, "frequency_hz": 60.0}
    words = {
        key: {**read, "si": "as printed on the plate"} for key in ("frame", "enclosure", "duty", "model")
    }
    return {**words, **{key: {**read, "si": value} for key, value in numbers.items()}}


def _job(n: int, motors: list[Motor], by: User, now: Any, dice: random.Random, *, is_open: bool) -> Job:
    motor, at = motors[n % len(motors)], dice.randrange(len(KINDS))
    stop = is_open and dice.random() < 0.1
    held = is_open and dice.random() < 0.2
    return Job(
        number=number_of(n), motor=motor, customer=motor.customer, site=motor.site, opened_by=by,
        complaint="It growls when the pump starts.", purchase_order=f"PO {4000 + n % 5000}-{n}",
        priority=dice.choice(Job.Priority.values), state="open" if is_open else "closed",
        closed_at=None if is_open else now,
        promised_on=None if dice.random() < 0.1 else now.date() + timedelta(days=dice.randint(-5, 40)),
        step_kind=KINDS[at] if is_open else "", step_title=StepKind(KINDS[at]).label if is_open else "",
        step_position=at if is_open else len(KINDS), steps_total=len(KINDS),
        on_hold=held, hold_words="customer: approval of the estimate" if held else "",
        hold_since=now - timedelta(days=dice.randint(1, 30)) if held else None,
        hand_over_open=is_open and dice.random() < 0.05, last_person=f"Person {dice.randint(1, 12)}",
        last_at=now - timedelta(hours=dice.randint(0, 200)), alert_severity="stop" if stop else "",
        alert={"text": "bearing 2 is upside down: its wide face was up, is down"} if stop else None,
    )  # fmt: skip


def _history(job: Job, by: User) -> None:
    Step.objects.bulk_create(
        Step(
            job=job,
            position=10 * n,
            kind=kind,
            title=StepKind(kind).label,
            state="done" if n < 8 else "waiting",
        )
        for n, kind in enumerate(KINDS, 1)
    )
    Event.objects.bulk_create(
        Event(
            actor=by, actor_name=str(by), verb="step.signed", subject_type="job", subject_id=str(job.pk),
            job_number=job.number, after={"step": f"step {n}", "as": "worker", "note": ""},
        )
        for n in range(EVENTS_OF_A_JOB)
    )  # fmt: skip
    fill_job(job, by)


def signed_in_cookie() -> str:
    """Return the cookie of a session in which the office is signed in."""
    user = User.objects.get(username="office")
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.create()
    return f"{settings.SESSION_COOKIE_NAME}={session.session_key}"
