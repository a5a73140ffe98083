"""Check a kept file of ratings and take it into a source: in a request, as long work, or from a command."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Final

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from bearings.public import (
    BookError,
    Rating,
    Source,
    StaleBookError,
    add_source,
    book_file,
    rating_values,
    source_values,
)
from repairs.ledger.services import Actor, carry_out_once, record_event, record_events
from repairs.long_work.kinds import Report, Result, register
from repairs.long_work.models import LongWork
from repairs.long_work.services import LongWorkError
from repairs.office.book_entries import differing_values
from repairs.office.book_forms import plain
from repairs.office.kept_files import FileGoneError, open_kept, remove_kept
from repairs.people.permissions import Permission

CHECK: Final = "book.check"
IMPORT: Final = "book.import"
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where ratings go: a source of the book, or a new one."""

    source_id: int | None = None
    maker: str = ""
    title: str = ""
    edition: str = ""
    published_on: str = ""

    def stored(self) -> Source | None:
        """Return the source, if it is one of the book."""
        if self.source_id is None:
            return None
        found = Source.objects.filter(pk=self.source_id).first()
        if found is None:
            raise BookError(_("This source is not in the book any more."))
        return found

    def words(self) -> str:
        """Return what people call it."""
        return str(self.stored() or f"{self.maker}, {self.title}, {self.edition}")


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportOrder:
    """What a person decided after the preview: file, target, whether to correct, and the book they saw.

    ``read``: what is asked about the figures was read.
    """

    digest: str
    name: str
    target: Target
    correct: bool
    read: bool
    book: list[int]

    def as_parameters(self) -> dict[str, Any]:
        """Return the order as long work keeps it."""
        return asdict(self)

    @classmethod
    def from_parameters(cls, kept: Mapping[str, Any]) -> ImportOrder:
        """Return the order that long work kept."""
        return cls(**{**kept, "target": Target(**kept["target"])})


def check_kept(digest: str, target: Target, progress: Progress | None = None) -> dict[str, Any]:
    """Return the report on a kept file as plain values."""
    with open_kept(digest) as file:
        return asdict(book_file.check_rating_file(file, target.stored(), progress=progress))


def import_kept(
    *, actor: Actor, key: str, order: ImportOrder, progress: Progress | None = None
) -> dict[str, Any]:
    """Take a kept file in, once for its key; return the source's key and the counts. The file is removed after."""
    body = order.as_parameters()
    try:
        file = open_kept(order.digest)
    except FileGoneError:
        # Either it was taken in already by the same form, which then answers as before, or it is too old.
        return carry_out_once(actor=actor, key=key, body=body, work=_gone)[0]
    with file, book_file.prepare_import(file, order.target.stored(), progress=progress) as prepared:

        def work() -> dict[str, Any]:
            if prepared.report.book != order.book:
                raise StaleBookError(
                    _(
                        "Somebody changed this source meanwhile. Choose the file again, to see what it would do now."
                    )
                )
            if prepared.report.counts["doubtful"] and not order.read:
                raise BookError(
                    _("Figures of this file are doubtful. Read what is asked about them first."), "read"
                )
            return write_ratings(
                actor=actor,
                prepared=prepared,
                target=order.target,
                correct=order.correct,
                told={"file": order.name, "digest": order.digest},
            )

        answer, _again = carry_out_once(actor=actor, key=key, body=body, work=work)
    remove_kept(order.digest)
    return answer


def _gone() -> dict[str, Any]:
    raise BookError(str(FileGoneError()))


@transaction.atomic
def write_ratings(
    *,
    actor: Actor,
    prepared: book_file.PreparedImport,
    target: Target,
    correct: bool,
    told: Mapping[str, Any],
) -> dict[str, Any]:
    """Write a checked file with its events: the new source, each corrected rating, the import with its counts."""
    source = target.stored() or _new_source(actor, target)

    def corrected(changes: list[tuple[Rating, dict[str, Any]]]) -> None:
        record_events(
            actor=actor,
            verb="rating.changed",
            changes=[(one, *differing_values(before, rating_values(one))) for one, before in changes],
        )

    counts = book_file.write_import(prepared, source, correct=correct, corrected=corrected)
    record_event(actor=actor, verb="ratings.imported", subject=source, after={**told, "counts": counts})
    return {"source": source.pk, "counts": counts}


def _new_source(actor: Actor, target: Target) -> Source:
    day = date.fromisoformat(target.published_on) if target.published_on else None
    source = add_source(maker=target.maker, title=target.title, edition=target.edition, published_on=day)
    record_event(actor=actor, verb="source.added", subject=source, after=source_values(source))
    return source


def import_words(counts: Mapping[str, int]) -> str:
    """Say what an import did."""
    kinds = (
        (counts["new"], ngettext("%(n)s rating is new", "%(n)s ratings are new", counts["new"])),
        (counts["changed"], ngettext("%(n)s was corrected", "%(n)s were corrected", counts["changed"])),
        (counts["same"], ngettext("%(n)s was there already", "%(n)s were there already", counts["same"])),
    )
    said = [
        words % {"n": plain(number)} for place, (number, words) in enumerate(kinds) if number or not place
    ]
    return f"{'; '.join(said)}."


# As long work


def _check_as_long_work(work: LongWork, report: Report) -> dict[str, Any]:
    kept = work.parameters
    try:
        return check_kept(kept["digest"], Target(**kept["target"]), report)
    except book_file.BookFileError as error:
        return {"refused": [one.as_dict() for one in error.notes]}
    except (BookError, FileGoneError) as error:
        raise LongWorkError(str(error)) from error


def _import_as_long_work(work: LongWork, report: Report) -> dict[str, Any]:
    actor = Actor(user_id=work.asked_by_id, name=work.asked_by_name)
    order = ImportOrder.from_parameters(work.parameters)
    try:
        return import_kept(actor=actor, key=work.key, order=order, progress=report)
    except (BookError, book_file.BookFileError) as error:
        raise LongWorkError(str(error)) from error


def _checked(work: LongWork) -> Result:
    return Result(_("The file is read."), reverse("office:book_checked", args=[work.pk]))


def _imported(work: LongWork) -> Result:
    outcome = work.outcome
    return Result(import_words(outcome["counts"]), reverse("office:source", args=[outcome["source"]]))


def register_kinds() -> None:
    """Make checking and importing known as kinds of long work, for those who keep the book."""
    for kind, label, function, result in (
        (CHECK, gettext_lazy("Check a rating file"), _check_as_long_work, _checked),
        (IMPORT, gettext_lazy("Take in a rating file"), _import_as_long_work, _imported),
    ):
        register(kind, label, function, permission=Permission.EDIT_BOOK, result=result)
