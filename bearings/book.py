"""Write into the bearing book: sources, and what each of them prints of a bearing.

The caller stands inside a transaction and writes its own ledger event; ``source_values`` and ``rating_values``
give it the row before and after.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Final, cast

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from bearings.engineering.quantities import ONE_WAY_TYPES, Bearing
from bearings.engineering.rating_plausibility import geometry_mistake
from bearings.models import Rating, RatingImport, Source, designation_key
from bearings.stack_file import check_value, field_spec, parse_item
from bearings.wording.entry_doubts import impossible_sentence
from bearings.wording.figures import grouped

# What a book prints of a bearing. Its face, its marks, its stand-out and the springs under it belong to the one
# bearing in the mount and are never copied from a book.
ENVELOPE: Final = ("bore_mm", "outside_diameter_mm", "height_mm")
FIGURES: Final = (
    *ENVELOPE,
    "contact_angle_deg",
    "dynamic_rating_n",
    "static_rating_n",
    "fatigue_load_limit_n",
    "minimum_load_factor_n",
    "limiting_speed_rpm",
    "reference_speed_rpm",
    "oil_speed_rpm",
    "grease_speed_rpm",
    "ball_count",
    "ball_diameter_mm",
    "pitch_diameter_mm",
    "pair_preload_n",
    "cage_material",
    "temperature_limit_c",
    "stabilised_to_c",
    "f0r",
    "f1r",
    "f0",
    "f1",
    "reference_surface_mm2",
)
RATING_TEXTS: Final = ("designation", "variant", "cage", "type", "speed_meaning", "note")
SOURCE_FIELDS: Final = ("maker", "title", "edition", "published_on", "note")


class BookError(Exception):
    """The book refuses; ``mistakes`` maps each field to its sentence, ``field`` is the first of them."""

    def __init__(
        self, message: str, field: str | None = None, mistakes: Mapping[str, str] | None = None
    ) -> None:
        super().__init__(message)
        self.field = field
        self.mistakes = dict(mistakes or ({field: message} if field else {}))


class StaleBookError(BookError):
    """Somebody else changed the row meanwhile; nothing was written."""


def _refuse(mistakes: Mapping[str, str]) -> None:
    """Refuse with everything that is wrong, if anything is."""
    if mistakes:
        field, message = next(iter(mistakes.items()))
        raise BookError(message, field, mistakes)


def _text_mistakes(model: type[Source] | type[Rating], texts: Mapping[str, str]) -> dict[str, str]:
    mistakes = {}
    for name, text in texts.items():
        column = model._meta.get_field(name)
        longest = cast("int", getattr(column, "max_length", None))
        if not text and not getattr(column, "blank", False):
            mistakes[name] = _("Required. Accepted: text of at most %(length)s characters.") % {
                "length": grouped(longest)
            }
        elif len(text) > longest:
            mistakes[name] = _("Text has %(found)s characters. Accepted: at most %(length)s characters.") % {
                "found": grouped(len(text)),
                "length": grouped(longest),
            }
        elif any(character == "\0" or "\ud800" <= character <= "\udfff" for character in text):
            mistakes[name] = _("Text has a character that cannot be stored. Type it again.")
    return mistakes


# Sources


def source_values(source: Source) -> dict[str, Any]:
    """Return a source as an event tells it."""
    values = {name: getattr(source, name) for name in SOURCE_FIELDS}
    return {**values, "published_on": source.published_on and source.published_on.isoformat()}


def drafted_source(
    *, maker: str, title: str, edition: str, published_on: date | None = None, note: str = ""
) -> Source:
    """Return a source that may enter the book, not yet written."""
    source = Source()
    _fill_source(source, maker=maker, title=title, edition=edition, published_on=published_on, note=note)
    return source


@transaction.atomic
def add_source(
    *, maker: str, title: str, edition: str, published_on: date | None = None, note: str = ""
) -> Source:
    """Put a source into the book."""
    source = drafted_source(maker=maker, title=title, edition=edition, published_on=published_on, note=note)
    _write(source, edition_twice())
    return source


@transaction.atomic
def change_source(
    *,
    source: Source,
    version: int,
    maker: str,
    title: str,
    edition: str,
    published_on: date | None = None,
    note: str = "",
) -> Source:
    """Change what is said of a source, unless somebody did so since it was shown."""
    now = Source.objects.select_for_update().get(pk=source.pk)
    _same_version(now.version, version)
    now.version += 1
    _fill_source(now, maker=maker, title=title, edition=edition, published_on=published_on, note=note)
    _write(now, edition_twice())
    return now


def _same_version(stored: int, seen: int) -> None:
    if stored != seen:
        raise StaleBookError(_("Someone else changed this entry. Compare both before you save."))


def edition_twice() -> BookError:
    """Return the refusal of an edition that the book has."""
    words = _("This edition is already in the book. Enter another edition, or add ratings to this one.")
    return BookError(words, "edition")


def _fill_source(source: Source, *, published_on: date | None, **texts: str) -> None:
    texts = {name: text.strip() for name, text in texts.items()}
    _refuse(_text_mistakes(Source, texts))
    for name, text in texts.items():
        setattr(source, name, text)
    source.published_on = published_on
    if Source.objects.same_edition(source).exists():
        raise edition_twice()


def _write(row: Source | Rating, refusal: BookError) -> None:
    try:
        with transaction.atomic():
            row.save()
    except IntegrityError as error:
        raise refusal from error


# Ratings


def rating_figures(rating: Rating) -> dict[str, Any]:
    """Return every figure that is entered of a rating, by the stack file's names."""
    envelope = {name: getattr(rating, name) for name in ENVELOPE}
    known = {name: value for name, value in envelope.items() if value is not None}
    return {**known, **rating.figures}


def rating_values(rating: Rating) -> dict[str, Any]:
    """Return a rating as an event tells it."""
    return {
        **{name: getattr(rating, name) for name in RATING_TEXTS},
        "source": str(rating.source),
        "figures": rating_figures(rating),
        "not_printed": list(rating.not_printed),
    }


def rating_as_bearing(rating: Rating) -> dict[str, Any]:
    """Return the stack file's fields of a bearing, to be copied into a record with the source they come from.

    How the bearing lies is not in any book: ``wide_face`` is left to the one who copies.
    """
    texts = {
        "designation": rating.designation,
        "maker": rating.source.maker,
        "variant": rating.variant,
        "cage": rating.cage,
        "source": str(rating.source)[:200],
    }
    known = {name: text for name, text in texts.items() if text}
    return {"kind": "bearing", "type": rating.type, **known, **rating_figures(rating)}


@transaction.atomic
def add_rating(
    *,
    source: Source,
    designation: str,
    type: str,  # noqa: A002 - the stack file's name of the field
    variant: str = "",
    cage: str = "",
    figures: Mapping[str, object],
    not_printed: Collection[str] = (),
    speed_meaning: str = "",
    note: str = "",
) -> Rating:
    """Enter a bearing as a source prints it. What is neither in ``figures`` nor ``not_printed`` is not entered yet."""
    rating = Rating(source=source)
    _fill_rating(
        rating,
        figures,
        not_printed,
        designation=designation,
        type=type,
        variant=variant,
        cage=cage,
        speed_meaning=speed_meaning,
        note=note,
    )
    return rating


@transaction.atomic
def change_rating(
    *,
    rating: Rating,
    version: int,
    designation: str,
    type: str,  # noqa: A002 - the stack file's name of the field
    variant: str = "",
    cage: str = "",
    figures: Mapping[str, object],
    not_printed: Collection[str] = (),
    speed_meaning: str = "",
    note: str = "",
) -> Rating:
    """Correct a rating, unless somebody did so since it was shown. Records that copied it keep their figures."""
    now = Rating.objects.select_for_update().get(pk=rating.pk)
    _same_version(now.version, version)
    now.version += 1
    _fill_rating(
        now,
        figures,
        not_printed,
        designation=designation,
        type=type,
        variant=variant,
        cage=cage,
        speed_meaning=speed_meaning,
        note=note,
    )
    return now


def _fill_rating(
    rating: Rating, figures: Mapping[str, object], not_printed: Collection[str], **texts: str
) -> None:
    texts = {name: text.strip() for name, text in texts.items()}
    figures = {name: value for name, value in figures.items() if value is not None}
    mistakes, _bearing = judge_rating(texts, figures, not_printed)
    _refuse(mistakes)
    for name, text in texts.items():
        setattr(rating, name, text)
    _set_figures(rating, figures)
    rating.not_printed = [name for name in FIGURES if name in not_printed]
    _make_room(rating)
    _write(rating, _rating_twice())


def _rating_twice() -> BookError:
    words = _(
        "This source already has this designation with the same variant and cage. Edit that rating, or enter a "
        "different variant."
    )
    return BookError(words, "designation")


def _make_room(rating: Rating) -> None:
    """Refuse a rating that the source has, or gets at this moment from a file; what a broken import left gives way."""
    same = Rating.every.filter(
        source=rating.source_id,
        designation_key=designation_key(rating.designation),
        variant=rating.variant,
        cage=rating.cage,
    )
    found = same.exclude(pk=rating.pk).select_related("imported_with").first()
    if found is None:
        return
    under_way = found.imported_with
    if under_way is None or under_way.in_force:
        raise _rating_twice()
    if not under_way.is_broken_off:
        words = _("A file with this designation is being imported into this source. Wait until it finishes.")
        raise BookError(words, "designation")
    RatingImport.objects.unfinished().filter(pk=under_way.pk).update(token="")
    found.delete()


def judge_rating(
    texts: Mapping[str, str], figures: Mapping[str, object], not_printed: Collection[str] = ()
) -> tuple[dict[str, str], Bearing | None]:
    """Return what keeps a rating out of the book, field by field, and the bearing that it describes."""
    bearing, wrong_figures = _judge_figures(texts, figures)
    mistakes = {**_text_mistakes(Rating, texts), **wrong_figures}
    mistakes |= _not_printed_mistakes(figures, not_printed)
    key = designation_key(texts["designation"])
    if texts["designation"] and not 0 < len(key) <= 60:
        mistakes.setdefault(
            "designation",
            _("Designation needs a letter or a digit. Accepted: text of at most 60 characters."),
        )
    return mistakes, bearing


def _set_figures(rating: Rating, figures: Mapping[str, object]) -> None:
    checked = {name: check_value(field_spec("bearing", name), value)[0] for name, value in figures.items()}
    for name in ENVELOPE:
        setattr(rating, name, checked.pop(name, None))
    rating.figures = {name: checked[name] for name in FIGURES if name in checked}


def _judge_figures(
    texts: Mapping[str, str], figures: Mapping[str, object]
) -> tuple[Bearing | None, dict[str, str]]:
    """Return the bearing of the figures and what is wrong with them: each, together, and against the balls."""
    known = {name: value for name, value in figures.items() if name in FIGURES}
    mistakes = {name: _("The book has no such figure.") for name in figures if name not in FIGURES}
    kind = texts["type"]
    face = {"wide_face": "down"} if kind in ONE_WAY_TYPES else {}
    item, found = parse_item({"kind": "bearing", "type": kind, **face, **known}, "")
    for one in found:
        mistakes.setdefault(one.field.lstrip("."), one.message)
    if not isinstance(item, Bearing):
        return None, mistakes
    impossible = geometry_mistake(item)
    if impossible is not None:
        field, sentence = impossible_sentence(impossible)
        mistakes.setdefault(field, sentence)
    return replace(item, designation=texts["designation"]), mistakes


def _not_printed_mistakes(figures: Mapping[str, object], not_printed: Collection[str]) -> dict[str, str]:
    mistakes = {name: _("The book has no such figure.") for name in not_printed if name not in FIGURES}
    both = _("Enter a figure or tick “not printed”, not both.")
    return mistakes | {name: both for name in not_printed if name in figures}
