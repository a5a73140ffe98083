"""Check a kept file of ratings and take it into a source: in a request, as long work, or from a command."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Final

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from bearings.public import (
    BookError,
    Rating,
    Source,
    StaleBookError,
    book_file,
    drafted_source,
    plain,
    rating_values,
    source_values,
)
from repairs.ledger.services import (
    Actor,
    carry_out_once,
    hash_body,
    record_event,
    record_events,
)
from repairs.long_work.kinds import Report, Result, register
from repairs.long_work.models import LongWork
from repairs.long_work.services import LongWorkError
from repairs.office.book_entries import differing_values
from repairs.office.kept_files import FileGoneError, open_kept, remove_kept
from repairs.people.permissions import Permission

CHECK: Final = "book.check"
IMPORT: Final = "book.import"
Progress = Callable[[int, int], None]
Work = Callable[[], dict[str, Any]]


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
            raise BookError(_("This source is no longer in the book."))
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
    book_file.remove_broken_imports()
    with open_kept(digest) as file:
        return asdict(book_file.check_rating_file(file, target.stored(), progress=progress))


def import_kept(
    *, actor: Actor, key: str, order: ImportOrder, progress: Progress | None = None
) -> dict[str, Any]:
    """Take a kept file in, once for its key; return the source's key and the counts. The file is removed after."""
    with ExitStack() as held:

        def prepare() -> Work:
            try:
                file = held.enter_context(open_kept(order.digest))
            except FileGoneError as error:
                raise BookError(str(error)) from error
            checked = book_file.prepare_import(file, order.target.stored(), progress=_first_half(progress))
            prepared = held.enter_context(checked)
            _hold_against(prepared.report, order)
            return held.enter_context(
                written(
                    actor=actor,
                    key=hash_body({"user": actor.user_id, "key": key}),
                    prepared=prepared,
                    target=order.target,
                    correct=order.correct,
                    told={"file": order.name, "digest": order.digest},
                    progress=progress,
                )
            )

        answer, _again = carry_out_once(
            actor=actor, key=key, body=order.as_parameters(), prepare=prepare, work=lambda work: work()
        )
    remove_kept(order.digest)
    return answer


def _first_half(progress: Progress | None) -> Progress | None:
    """Tell the checking as the first half of the work; the writing follows."""
    return progress and (lambda done, total: progress(done, 2 * total))


def _hold_against(report: book_file.FileReport, order: ImportOrder) -> None:
    """Refuse a file that would do another thing now than what was decided on."""
    if report.book != order.book:
        raise StaleBookError(
            _("Someone else changed this source. Choose the file again to see what it would do now.")
        )
    if report.counts["doubtful"] and not order.read:
        raise BookError(_("Some figures in this file look unusual. Check them first."), "read")


@contextmanager
def written(
    *,
    actor: Actor,
    key: str,
    prepared: book_file.PreparedImport,
    target: Target,
    correct: bool,
    told: Mapping[str, Any],
    progress: Progress | None = None,
) -> Iterator[Work]:
    """Write a checked file where nobody sees it; what is yielded puts it in force with its events, in a transaction.

    The events: the new source, each corrected rating, the import with its counts. ``key`` tells who asks, so that
    the same one may ask again after a kill.
    """
    source = target.stored() or _new_source(target)
    is_new = source.pk is None

    def corrected(changes: list[tuple[Rating, dict[str, Any]]]) -> None:
        record_events(
            actor=actor,
            verb="rating.changed",
            changes=[(one, *differing_values(before, rating_values(one))) for one, before in changes],
        )

    with book_file.arriving(prepared, source, key=key, correct=correct, progress=progress) as under_way:

        def put_in_force() -> dict[str, object]:
            counts = book_file.put_in_force(prepared, under_way, correct=correct, corrected=corrected)
            if is_new:
                record_event(actor=actor, verb="source.added", subject=source, after=source_values(source))
            after = {**told, "counts": counts}
            record_event(actor=actor, verb="ratings.imported", subject=source, after=after)
            return {"source": source.pk, "counts": counts}

        yield put_in_force


def _new_source(target: Target) -> Source:
    day = date.fromisoformat(target.published_on) if target.published_on else None
    return drafted_source(maker=target.maker, title=target.title, edition=target.edition, published_on=day)


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


def _check_as_long_work(work: LongWork, report: Report) -> dict[str, object]:
    kept = work.parameters
    try:
        return check_kept(kept["digest"], Target(**kept["target"]), report)
    except book_file.BookFileError as error:
        return {"refused": [one.as_dict() for one in error.notes]}
    except (BookError, FileGoneError) as error:
        raise LongWorkError(str(error)) from error


def _import_as_long_work(work: LongWork, report: Report) -> dict[str, object]:
    actor = Actor(user_id=work.asked_by_id, name=work.asked_by_name)
    order = ImportOrder.from_parameters(work.parameters)
    try:
        return import_kept(actor=actor, key=work.key, order=order, progress=report)
    except (BookError, book_file.BookFileError) as error:
        raise LongWorkError(str(error)) from error


def _checked(work: LongWork) -> Result:
    return Result(_("File checked."), reverse("office:book_checked", args=[work.pk]))


def _imported(work: LongWork) -> Result:
    outcome = work.outcome
    return Result(import_words(outcome["counts"]), reverse("office:source", args=[outcome["source"]]))


def register_kinds() -> None:
    """Make checking and importing known as kinds of long work, for those who keep the book."""
    for kind, label, function, result in (
        (CHECK, gettext_lazy("Check rating file"), _check_as_long_work, _checked),
        (IMPORT, gettext_lazy("Import rating file"), _import_as_long_work, _imported),
    ):
        register(kind, label, function, permission=Permission.EDIT_BOOK, result=result)
