"""The invented shop in a language that nobody speaks: whatever stays plain English there cannot be translated."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest
from django.apps import apps
from django.db import models
from django.test import Client
from django.urls import Resolver404, resolve, reverse
from django.utils import timezone

from bearings.models import Source
from repairs.documents.content.reader import Reader
from repairs.documents.issuing import CONTENTS, content_of, finished_page
from repairs.documents.links import make_link
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.reports import read_report
from repairs.management.shop.building import build_shop
from repairs.people.models import User
from repairs.work_orders.models import Job
from tests.made_up_language import PLAIN, in_the_made_up_language, made_up
from tests.repairs.factories import actor_for
from tests.visible_text import visible_text

pytestmark = pytest.mark.django_db
LINK = re.compile(r'(?:href|hx-get)="(/[^"#]*)')
EACH = 2  # Pages read of one address.
# What is no language's own word: names, signs of units and quantities, letters of standards, lines to be typed.
NO_WORDS = frozenset({
    "Mountside", "MOUNTSIDE", "in", "kN", "psi", "kPa", "bar", "min", "US", "gal", "qt", "degC", "degF", "deg", "DB",
    "DF", "ISO", "EN", "DIN", "metric", "cSt", "oz", "kline", "mA",
    "NEMA", "ANSI", "EASA", "AR", "IEEE", "IEC", "API",
})  # fmt: skip
# What the product stores for itself: names of tables, acts and kinds.
A_CODE = re.compile(r"[a-z_.-]+")
OWN_WORDS = frozenset(
    {"variant", "cage", "note", "username", "original_name", "file_name", "limit_source", "unit"}
)
# Pages about a contract: the names and meanings of a file's columns, commands to be typed.
CONTRACTS = frozenset({"office:book_import", "office:backups", "bench:worker"})
# Pages that would end the reading, or that answer with a file.
LEFT_OUT = frozenset({"logout", "photo_file", "issued_paper", "favicon"})
RAW_PLACE = re.compile(r"%\(\w+\)s|\{\w+\}|%[sd]\b")
WORD = re.compile(r"[^\W\d_]{2,}")
# Sentences that a script fills in: their places are seen in the page.
FILLED = re.compile(
    r"\{(?:part|place|name|minutes|size|left|percent|used|whole|count|time|pixels|kept|code)\}"
)


def entered() -> Iterator[str]:
    """Yield what people entered and what records keep in their words: every stored text that is no code of ours."""
    for model in apps.get_models():
        for field in model._meta.concrete_fields:
            if isinstance(field, models.JSONField):
                for value in model._base_manager.values_list(field.name, flat=True):
                    yield from _texts_in(value, field.name)
            elif isinstance(field, models.CharField | models.TextField) and not field.choices:
                for value in model._base_manager.values_list(field.name, flat=True).distinct():
                    yield from _texts_in(value, field.name)


def _texts_in(value: object, name: str) -> Iterator[str]:
    """Yield the texts of a stored value; one small word is a person's own only under some names."""
    if isinstance(value, dict):
        for below_name, below in value.items():
            yield from _texts_in(below, below_name)
    elif isinstance(value, list):
        for below in value:
            yield from _texts_in(below, name)
    elif isinstance(value, str) and (name in OWN_WORDS or not A_CODE.fullmatch(value)):
        yield value


class Judge:
    """Finds what stays English in a page, apart from what people entered."""

    def __init__(self) -> None:
        texts = {" ".join(text.split()) for text in entered()}
        worth = sorted((text for text in texts if PLAIN.search(text)), key=len, reverse=True)
        self.known = re.compile("|".join(rf"(?<![A-Za-z]){re.escape(text)}(?![A-Za-z])" for text in worth))
        self.all_entered = "\n".join(" ".join(WORD.findall(text)) for text in worth)

    def english_in(self, text: str) -> list[str]:
        """Return the words of a text that are neither translated nor entered; a drawing breaks its lines anywhere."""
        rest = self.known.sub(" ", RAW_PLACE.sub(" ", text))
        found = [
            one for one in WORD.findall(rest) if one.isascii() and PLAIN.search(one) and one not in NO_WORDS
        ]
        return [] if " ".join(found) in self.all_entered else found

    def faults(self, page: str) -> list[str]:
        """Return the texts of a page that hold English, or a place that was not filled."""
        texts = visible_text(page)
        english = {f"{text}  <- {', '.join(found)}" for text in texts if (found := self.english_in(text))}
        return sorted(english | {text for text in texts if RAW_PLACE.search(FILLED.sub(" ", text))})


def pages_of(client: Client, starts: list[str]) -> Iterator[tuple[str, str]]:
    """Yield pages that are reached from some addresses, a few of each kind."""
    todo, seen, read = list(starts), set(), Counter[str]()
    while todo:
        address = todo.pop(0).replace("&amp;", "&")
        try:
            name = resolve(address.partition("?")[0]).view_name
        except Resolver404:
            continue
        if address in seen or name in LEFT_OUT or read[name] >= EACH:
            continue
        seen.add(address)
        answer = client.get(address)
        if answer.status_code == 200 and "text/html" in answer["Content-Type"]:
            read[name] += 1
            body = answer.content.decode()
            todo += LINK.findall(body)
            yield name, body
        elif answer.streaming and (file := getattr(answer, "file_to_stream", None)):
            file.close()


def papers_of(job: Job, units: str) -> Iterator[tuple[str, str]]:
    """Yield the papers of a job as they would be issued now."""
    reader = Reader("en", "us" if units == "us" else "si")
    for kind in (*CONTENTS, DocumentKind.REPORT):
        content = (
            read_report(job.pk, reader).content
            if kind == DocumentKind.REPORT
            else content_of(job, kind, reader)
        )
        paper = IssuedDocument(job=job, kind=kind, content=content, language="en", paper="letter", revision=1,
            units=units, code="23456", issued_at=timezone.now())  # fmt: skip
        yield kind, finished_page(paper)


def by_place(found: Iterator[tuple[str, str]], judge: Judge) -> list[str]:
    told: dict[str, set[str]] = {}
    for name, body in found:
        if name not in CONTRACTS:
            told.setdefault(name, set()).update(judge.faults(body))
    assert told
    return [f"{name}: {fault}" for name, faults in told.items() for fault in sorted(faults)]


def pages(client: Client, username: str) -> Iterator[tuple[str, str]]:
    client.force_login(User.objects.get(username=username))
    starts = [reverse("office:board"), reverse("bench:home")]
    for number in Job.objects.values_list("number", flat=True):
        starts += [reverse("office:job", args=[number]), reverse("bench:job", args=[number])]
    return pages_of(client, starts)


REFUSED = {
    "office:open_job": {},
    "office:new_motor": {"power": "much"},
    "office:new_customer": {},
    "office:rating_new": {"bore": "wide"},
    "office:people": {"username": "x y"},
}


def refusals(client: Client) -> Iterator[tuple[str, str]]:
    """Yield what the shop answers to forms with faults, and to addresses that are none."""
    client.force_login(User.objects.get(username="admin"))
    for name, values in REFUSED.items():
        arguments = [Source.objects.first().pk] if name == "office:rating_new" else []
        answer = client.post(reverse(name, args=arguments), values)
        assert answer.status_code in {200, 400, 409, 422}, (name, answer.status_code)
        yield f"refused {name}", answer.content.decode()
    for address in ("/nowhere/", "/office/jobs/none/", "/p/none/", f"/my/{'x' * 43}/"):
        yield address, client.get(address).content.decode()


def customers_pages(client: Client, tokens: list[str]) -> Iterator[tuple[str, str]]:
    client.logout()
    for token in tokens:
        answer = client.get(reverse("portal:job", args=[token]))
        assert answer.status_code == 200
        yield "portal:job", answer.content.decode()


def test_every_word_of_pages_papers_and_refusals_can_be_translated(client):
    build_shop()
    office, jobs, now = User.objects.get(username="office"), list(Job.objects.all()), timezone.now()
    tokens = [make_link(actor=actor_for(office), job=job, days=9, now=now)[1] for job in jobs[:4]]
    judge = Judge()
    with in_the_made_up_language():
        faults = by_place(pages(client, "lead"), judge) + by_place(pages(client, "admin"), judge)
        faults += by_place((paper for job in jobs[:6] for paper in papers_of(job, "us")), judge)
        faults += by_place(refusals(client), judge) + by_place(customers_pages(client, tokens), judge)
    assert not faults, "\n".join(dict.fromkeys(faults))


def test_the_made_up_language_is_longer_keeps_places_and_is_never_offered(settings):
    sentence = "Bearing %(ref)s carries {load} of <b>%(total)s</b> &amp; more."
    spoken = made_up(sentence)
    assert spoken != sentence
    assert all(place in spoken for place in ("%(ref)s", "{load}", "<b>", "%(total)s", "&amp;"))
    plain = "The wide face of this bearing points down in the stack as built"
    long = made_up(plain)
    assert 1.25 < len(long) / len(plain) < 1.45
    assert [code for code, _name in settings.LANGUAGES] == ["en"]


def test_a_word_that_is_not_marked_is_found(db):
    judge = Judge()
    assert judge.faults("<p>Save reading</p>") == ["Save reading  <- Save, reading"]
    assert judge.faults(f"<p>{made_up('Save reading')} 26-0004 · 0.002 in</p>") == []
    assert judge.faults(f"<p>{made_up('Saved by {person}')}</p>") == [made_up("Saved by {person}")]
