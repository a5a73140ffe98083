"""What a traveler with twelve photos costs beside the maker of PDFs alone: python -m tests.benchmarks.bench_traveler

The whole way (questions to the database, content, digest, page, PDF, file, row, event) and the bare making of the same
finished page take turns in one process; medians are compared.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable

BUDGET = 1.5
PHOTOS = 12
ROUNDS = 9


def prepare(folder: str) -> None:
    """Set a shop up in a folder of its own."""
    os.environ.update(
        DJANGO_SETTINGS_MODULE="tests.settings",
        MOUNTSIDE_FOLDER=folder,
        MOUNTSIDE_SECRET_KEY="for-a-measurement",
    )
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0)


def timed(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def measure(rounds: int) -> int:
    """Say both medians and their ratio; return 1 when the budget is not kept."""
    from django.db import connection, transaction
    from django.utils import timezone

    from repairs.documents import issuing
    from repairs.documents.models import IssuedDocument
    from repairs.documents.rendering import render_pdf
    from repairs.documents.services import issue_document
    from repairs.ledger.frozen_rows import opened
    from repairs.work_orders.models import Job
    from tests.repairs.documents.scenes import job_with_found_stack, measure, specify, walk
    from tests.repairs.factories import actor_for, make_user

    job = job_with_found_stack(photos=PHOTOS)
    specify(job)
    measure(job)
    walk(job, 4)
    actor = actor_for(make_user("lead"))

    def issue() -> IssuedDocument:
        fresh = Job.objects.with_motor().get(pk=job.pk)
        return issue_document(
            actor=actor, job=fresh, kind="traveler", paper="a4", language="en", units="us", now=timezone.now()
        )

    document = issue()
    page, photos = issuing.finished_page(document), issuing.photo_files(document.content)
    if page.count("<img") != PHOTOS:
        raise SystemExit(f"the traveler shows {page.count('<img')} photos, not {PHOTOS}")
    whole, bare = [], []
    for _round in range(rounds):
        with transaction.atomic(), opened(connection):
            IssuedDocument.objects.all().delete()
        whole.append(timed(issue))
        bare.append(timed(lambda: render_pdf(page, photos=photos)))
    again = statistics.median(timed(issue) for _round in range(rounds))
    ratio = statistics.median(whole) / statistics.median(bare)
    print(
        f"whole way {statistics.median(whole):.3f} s, bare {statistics.median(bare):.3f} s, ratio {ratio:.2f}"
    )
    print(f"the same paper again, from its file {again:.3f} s")
    return 0 if ratio <= BUDGET else 1


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory(prefix="mountside-traveler-") as folder:
        prepare(folder)
        return measure(rounds)


if __name__ == "__main__":
    sys.exit(main())
