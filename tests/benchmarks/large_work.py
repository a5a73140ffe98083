"""The large pieces of work beside which nobody may wait: what each needs in the shop, and how a person asks for it."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import Any
from uuid import uuid4

from tests.benchmarks.bench_book_import import lines_of
from tests.benchmarks.real_server import Person, expect

REPORT_PHOTOS, LARGE_PHOTO, REPORT_WITHIN_S = 40, (2400, 1800), 300
BOOK_LINES = 200_000
STACKS = 10_000
SIGNED_BESIDE = ("as found", "specified")
PHOTOS, PHOTO_SIZE = 20, (4000, 3000)


@dataclass(slots=True, kw_only=True)
class Shop:
    """The shop that is served: the person who lives on, the one who asks for large work, what the seeding told."""

    folder: Path
    job: str
    other: Person
    asking: Person
    told: dict[str, Any] = field(default_factory=dict)


def _nothing(_shop: Shop) -> None:
    """Prepare nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LargeWork:
    """One piece of work.

    ``seed`` writes rows before the server starts and returns what ``do`` must know of them; ``prepare`` makes files
    before the clock runs; ``do`` asks for the work and returns when it is done.
    """

    letter: str
    name: str
    do: Callable[[Shop], None]
    seed: Callable[[], dict[str, Any]] = dict
    prepare: Callable[[Shop], None] = _nothing


def seed(letters: str) -> dict[str, Any]:
    """Fill the shop for some of the work: runs in a process of its own that has the shop's settings."""
    from tests.repairs.factories import make_job, make_motor, make_user

    told: dict[str, Any] = {}
    for work in LARGE_WORK:
        if work.letter in letters:
            told |= work.seed()
    other, asking = make_user("lead", username="other"), make_user("lead", username="asking")
    job = make_job(make_motor())
    return {**told, "job": job.number, "other": session_of(other), "asking": session_of(asking)}


def session_of(user: Any) -> str:
    """Return the key of a session in which a person is signed in."""
    from django.conf import settings
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY

    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.create()
    return str(session.session_key)


# Photos


def _take_photos(shop: Shop) -> None:
    """Write pictures of 12 million pixels, each another one."""
    from PIL import Image

    folder = shop.folder / "pictures"
    folder.mkdir()
    for number in range(PHOTOS):
        grain = Image.effect_noise((1000, 750), 30 + number).resize(PHOTO_SIZE)
        grain.convert("RGB").save(folder / f"{number}.jpg", quality=90)


def _send_photos(shop: Shop) -> None:
    """Send all of them in one form, and see them on the job."""
    person, address = shop.asking, f"/bench/jobs/{shop.job}/photos/"
    files = [(path.name, path.read_bytes()) for path in sorted((shop.folder / "pictures").iterdir())]
    fields = person.hidden_fields(expect(person.get(address), 200))
    expect(person.post(address, fields, {"files": files}), 302)
    shown = expect(person.get(address), 200).body.count("/thumbnail/")
    if shown != PHOTOS:
        raise AssertionError(f"{shown} photos on the job instead of {PHOTOS}")


# A book file


def _write_book_file(shop: Shop) -> None:
    with (shop.folder / "ratings.csv").open("w", encoding="utf-8") as out:
        out.writelines(lines_of(BOOK_LINES))


def _take_book_file_in(shop: Shop) -> None:
    """Choose the file, have it checked, look at the preview, take it in."""
    person, address = shop.asking, "/office/book/file/"
    form = expect(person.get(address), 200)
    target = {"maker": "Maker A (invented)", "title": "Benchmark", "edition": "2026"}
    file = ("ratings.csv", (shop.folder / "ratings.csv").read_bytes())
    chosen = expect(person.post(address, {**person.hidden_fields(form), **target}, {"file": [file]}), 302)
    person.wait_for_long_work(expect(person.get(chosen.location), 200))
    preview = expect(person.get(chosen.location), 200)
    decided = {**person.hidden_fields(preview), "read": "on", "changed": "refuse"}
    taken = expect(person.post(f"{address}take-in/", decided), 302)
    person.wait_for_long_work(expect(person.get(taken.location), 200))
    book = expect(person.get("/office/book/?q=T199999"), 200)
    if "T199999" not in book.body.replace("value=", ""):
        raise AssertionError("the last line of the file is not in the book")


# A re-check


def _sign_stacks() -> dict[str, Any]:
    """Write jobs and motors with a signed stack each, of which a book's newer edition slows a share down."""
    from tests.benchmarks.bench_recheck import fill

    fill(STACKS)
    return {}


def _check_all_again(shop: Shop) -> None:
    person = shop.asking
    page = expect(person.get("/office/rechecks/"), 200)
    fields = {**person.hidden_fields(page), "why": "hand"}
    asked = expect(person.post("/office/rechecks/start/", fields), 302)
    done = person.wait_for_long_work(expect(person.get(asked.location), 200))
    checked = re.search(r"(\d+) stacks checked", done.body)
    # The report's job, where it was filled too, has signed stacks of its own.
    if checked is None or not STACKS <= int(checked[1]) <= STACKS + len(SIGNED_BESIDE):
        raise AssertionError(f"the run does not say that {STACKS} stacks were checked: {done.body}")


# A report


def _photograph_a_job() -> dict[str, Any]:
    """Write a job whose report prints forty photos: as found, as built, and others."""
    from repairs.documents.content.reader import CANONICAL
    from repairs.documents.reports import read_report
    from repairs.work_orders.services.pictures import add_photos
    from tests.repairs.documents.scenes import build, drawn_photo, job_with_found_stack, measure, specify
    from tests.repairs.factories import actor_for, make_user

    job = job_with_found_stack(photos=12, size=LARGE_PHOTO)
    specify(job)
    measure(job)
    build(job, photos=4)
    actor = actor_for(make_user("technician"))
    add_photos(actor=actor, job=job, files=[drawn_photo(n, LARGE_PHOTO) for n in range(40, 64)])
    content = read_report(job.pk, CANONICAL).content
    shown = len([*content["photos"], *content["more_photos"]])
    if shown != REPORT_PHOTOS:
        raise AssertionError(f"the report shows {shown} photos, not {REPORT_PHOTOS}")
    return {"report_job": job.number, "office": session_of(make_user("office"))}


def _issue_report(shop: Shop) -> None:
    """Issue the report as the office does, watch it being made, open it.

    A lead could still be the second person of the stack that it shows, and so would not see it.
    """
    person, job = Person(shop.asking.port, shop.told["office"]), shop.told["report_job"]
    fields = {
        "do": "issue", "form_key": uuid4().hex, "paper": "letter", "units": "us", "language": "en", "reason": "again",
    }  # fmt: skip
    begun = time.monotonic()
    asked = expect(person.post(f"/office/jobs/{job}/report/", fields), 302)
    print(f"    the page that watches it came after {asked.seconds:.2f} s", flush=True)
    while expect(answer := person.get(asked.location), 200, 302).status == 200:
        if "Print again" in answer.body or time.monotonic() - begun > REPORT_WITHIN_S:
            raise AssertionError(f"the report was not made: {answer.body}")
        time.sleep(1)
    paper = expect(person.get(answer.location), 200)
    if not paper.body.startswith("%PDF-"):
        raise AssertionError("what was opened is no PDF")
    print(f"    the report was open after {time.monotonic() - begun:.1f} s", flush=True)


LARGE_WORK = (
    LargeWork(letter="a", name="20 photos of 12 MP in one form", do=_send_photos, prepare=_take_photos),
    LargeWork(letter="b", name="report with 40 photos issued", do=_issue_report, seed=_photograph_a_job),
    LargeWork(
        letter="c",
        name="book file of 200 000 lines",
        do=_take_book_file_in,
        prepare=_write_book_file,
    ),
    LargeWork(letter="d", name="10 000 stacks re-checked", do=_check_all_again, seed=_sign_stacks),
)
