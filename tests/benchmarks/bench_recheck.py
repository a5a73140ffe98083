"""The re-check of a small and a large shop: stacks a second on one core, cost a stack at two sizes, memory.

Every stack is another one: loads, sizes and ratings are drawn for each. First a newer edition renews one in ten, and
only those have other inputs than they were judged with; then the policy changes, and every stack is judged whole.

Run: python -m tests.benchmarks.bench_recheck
"""

from __future__ import annotations

import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from typing import Any

SIZES = (1_000, 10_000)
LEAST_A_SECOND = 300.0
# Of the cost a stack, large over small; and what the large shop may need more of memory.
MOST_GROWTH = 1.25
MOST_MEGABYTES_MORE = 30.0
RENEWED_SHARE = 0.1


def main() -> int:
    """Measure both sizes, each in a process of its own; return 1 when a budget is passed."""
    found = {size: _measured(size) for size in SIZES}
    small, large = (found[size] for size in SIZES)
    wrong = []
    for size, (rate, megabytes, more, changed) in found.items():
        print(
            f"{size:>6} stacks: {rate:7.0f} a second, {1000 / rate:5.2f} ms a stack, {changed} changed and stored, "
            f"peak {megabytes:5.0f} MB, {more:+.1f} MB during the run"
        )
        if rate < LEAST_A_SECOND:
            wrong.append(f"{size} stacks: {rate:.0f} a second, budget {LEAST_A_SECOND:.0f}")
    growth = small[0] / large[0]
    print(
        f"cost a stack, large over small: {growth:.2f}; memory, large over small: {large[1] - small[1]:+.1f} MB"
    )
    if growth > MOST_GROWTH:
        wrong.append(f"the cost a stack grows {growth:.2f} times")
    if large[1] - small[1] > MOST_MEGABYTES_MORE:
        wrong.append(f"memory grows by {large[1] - small[1]:.0f} MB")
    print("\n".join(wrong) or "within its budgets")
    return bool(wrong)


def _measured(size: int) -> tuple[float, float, float, int]:
    """Return rate, peak memory, its growth during the run, and how many changed, of a shop in a folder of its own."""
    with tempfile.TemporaryDirectory(prefix="recheck-") as folder:
        environment = {
            "DJANGO_SETTINGS_MODULE": "repairs.settings", "MOUNTSIDE_SECRET_KEY": "benchmark",
            "MOUNTSIDE_PLAIN_HTTP": "1", "MOUNTSIDE_FOLDER": folder,
        }  # fmt: skip
        module = [sys.executable, "-m", "tests.benchmarks.bench_recheck"]
        subprocess.run([*module, "fill", str(size)], env={**os.environ, **environment}, check=True)
        runs = [
            subprocess.run(
                [*module, how],
                env={**os.environ, **environment},
                check=True,
                stdout=subprocess.PIPE,
                text=True,
            ).stdout.split()[-4:]
            for how in ("run", "policy")
        ]
    rate, megabytes, more, changed = runs[0]
    print(
        f"{size:>6} stacks after a change of the policy: {float(runs[1][0]):7.0f} a second, all judged whole"
    )
    return float(rate), float(megabytes), float(more), int(changed)


def fill(size: int) -> None:
    """Write a shop whose every motor has another signed stack: half of them in open jobs, half in service."""
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    from django.db import transaction

    from repairs.people.models import User

    dice = random.Random(size)
    person = User.objects.create_user("lead", role="lead")
    for start in range(0, size, 500):
        with transaction.atomic():
            _fill_some(range(start, min(start + 500, size)), dice, person)


def _fill_some(numbers: range, dice: random.Random, person: Any) -> None:
    from django.utils import timezone

    from bearings.public import StoredAssessment
    from repairs.customers.models import Customer
    from repairs.motors.models import Motor
    from repairs.work_orders.judging import judge, unstored
    from repairs.work_orders.models import Job, StackRecord

    customer = Customer.objects.create(name=f"Invented {numbers.start}")
    motors = Motor.objects.bulk_create(
        Motor(customer=customer, tag=f"M {n}", nameplate=_plate(dice)) for n in numbers
    )
    now, records = timezone.now(), []
    is_open = [n % 2 == 0 for n in numbers]
    jobs = Job.objects.bulk_create(
        Job(
            number=f"R-{n}", motor=motor, customer=customer, opened_by=person,
            state="open" if opened else "closed", closed_at=None if opened else now,
        )
        for n, motor, opened in zip(numbers, motors, is_open, strict=True)
    )  # fmt: skip
    for n, job, opened in zip(numbers, jobs, is_open, strict=True):
        records.append(
            StackRecord(
                job=job, stage="specified" if opened else "as_built", items=_items(n, dice), started_by=person,
                state="signed", signed_at=now, signed_by=person,
            )
        )  # fmt: skip
    judged = [judge(record, record.job.motor, {}).assessment for record in records]
    stored = StoredAssessment.objects.bulk_create(unstored(one) for one in judged if one is not None)
    for record, kept in zip(records, stored, strict=True):
        record.assessment = kept
    StackRecord.objects.bulk_create(records)


def _plate(dice: random.Random) -> dict[str, Any]:
    numbers = {
        "rated_speed_rpm": dice.choice((880.0, 1180.0, 1770.0, 1785.0)),
        "frequency_hz": 60.0,
        "down_thrust_n": dice.uniform(8_000, 60_000),
        "up_thrust_n": dice.uniform(0, 9_000),
        "rotor_weight_n": dice.uniform(1_500, 9_000),
        "radial_load_n": dice.uniform(0, 1_500),
        "oil_iso_vg": dice.choice((32.0, 46.0, 68.0)),
        "oil_temperature_c": dice.uniform(50, 80),
    }
    words = {"lubrication": "oil_bath", "cleanliness": "slight_contamination"}
    return {
        key: {"state": "read", "typed": "", "unit": "", "si": value}
        for key, value in {**numbers, **words}.items()
    }


def _items(number: int, dice: random.Random) -> list[dict[str, Any]]:
    """Return a triple from a book of two editions; the newer one slows a share of the bearings down."""
    from datetime import date

    from bearings.models import Rating, Source

    speed, dynamic = dice.uniform(2_000, 4_000), dice.uniform(150_000, 320_000)
    figures = {
        "contact_angle_deg": 40.0, "dynamic_rating_n": dynamic, "static_rating_n": dynamic * 0.95,
        "ball_count": 13, "ball_diameter_mm": 34.925, "limiting_speed_rpm": speed,
    }  # fmt: skip
    designation = f"BX {number}"
    renewed = dice.random() < RENEWED_SHARE
    for year in (2019, 2024):
        source, _new = Source.objects.get_or_create(
            maker="Maker A (invented)", title="Tables", edition=str(year), published_on=date(year, 1, 1)
        )
        slower = {"limiting_speed_rpm": speed * 0.8} if renewed and year == 2024 else {}
        rating = Rating(
            source=source, designation=designation, type="angular_contact_ball", bore_mm=100,
            outside_diameter_mm=215, height_mm=47, figures={**figures, **slower},
        )  # fmt: skip
        rating.save()
    bearing = {
        "kind": "bearing", "type": "angular_contact_ball", "designation": designation,
        "maker": "Maker A (invented)", "source": "Maker A (invented), Tables, 2019", "bore_mm": 100,
        "outside_diameter_mm": 215, "height_mm": 47, "pair_preload_n": dice.uniform(500, 2_500), **figures,
    }  # fmt: skip
    return [
        {"uid": f"b{place}", "rating_id": None, "data": {**bearing, "wide_face": face}}
        for place, face in enumerate(("down", "down", "up"))
    ]


def run() -> None:
    """Run the re-check once, as the background process does, and print what it took."""
    from repairs.ledger.services import SYSTEM
    from repairs.rechecks.running import run_recheck
    from repairs.rechecks.services import begin_recheck

    recheck = begin_recheck(actor=SYSTEM, why="hand")
    before, begun = _peak_megabytes(), time.process_time()
    recheck = run_recheck(recheck)
    seconds = time.process_time() - begun
    peak = _peak_megabytes()
    print(recheck.checked / seconds, peak, peak - before, recheck.changed)


def change_policy() -> None:
    """Ask for another speed margin, so that every stack has other inputs than it was judged with."""
    from repairs.work_orders.models import ShopPolicy

    ShopPolicy.objects.update_or_create(pk=1, defaults={"limits": {"minimum_speed_margin": 0.12}})


def _peak_megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    if len(sys.argv) == 1:
        sys.exit(main())
    import django

    django.setup()
    if sys.argv[1] == "fill":
        fill(int(sys.argv[2]))
    else:
        if sys.argv[1] == "policy":
            change_policy()
        run()
