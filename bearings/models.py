"""The bearing book, and answers as they were given."""

from __future__ import annotations

from collections.abc import Collection
from datetime import timedelta
from typing import Any, Final, cast

from django.db import connections, models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from bearings.engineering.candidates import SAME_SIZE_MM

MATCHED_COLUMNS: Final = (
    "pk", "designation", "variant", "cage", "type", "bore_mm", "outside_diameter_mm", "height_mm", "figures",
    "source__maker", "source__title", "source__edition", "older_edition",
)  # fmt: skip
# An import that said nothing for so long was broken off: its process was killed, or the machine was switched off.
IMPORT_SILENT_FOR: Final = timedelta(minutes=1)


class SourceQuerySet(models.QuerySet["Source"]):
    def with_counts(self) -> SourceQuerySet:
        """Sources with how many ratings are entered of each."""
        on_their_way = models.Q(ratings__imported_with__in=RatingImport.objects.unfinished())
        return self.annotate(rating_count=models.Count("ratings", filter=~on_their_way))

    def same_edition(self, source: Source) -> SourceQuerySet:
        """The others of the same maker, title and edition, whatever their case."""
        names = {"maker": source.maker, "title": source.title, "edition": source.edition}
        rows = self.filter(**{f"{name}__iexact": text for name, text in names.items()})
        return rows.exclude(pk=source.pk)


_SourceRows = models.Manager.from_queryset(SourceQuerySet)


class SourceManager(_SourceRows["Source"]):
    """The sources of the book: one that is being taken in from a file is not there yet."""

    def get_queryset(self) -> SourceQuerySet:
        return cast("SourceQuerySet", super().get_queryset()).filter(in_force=True)


class Source(models.Model):
    """Where ratings were printed: a maker's book, in one edition.

    ``ratings_version`` goes up whenever what the book holds of its ratings changes. A source that a file brings is
    not ``in_force`` until the whole file is written.
    """

    maker = models.CharField(_("maker"), max_length=80)
    title = models.CharField(_("title"), max_length=120)
    edition = models.CharField(_("edition"), max_length=40)
    published_on = models.DateField(_("date"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=1000)
    version = models.PositiveIntegerField(default=1)
    ratings_version = models.PositiveIntegerField(default=1)
    in_force = models.BooleanField(default=True)

    objects = SourceManager()
    every = SourceQuerySet.as_manager()

    class Meta:
        ordering = ["maker", "title", "edition"]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "title", "edition"],
                condition=models.Q(in_force=True),
                name="source_edition_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.maker}, {self.title}, {self.edition}"


class RatingImportQuerySet(models.QuerySet["RatingImport"]):
    def unfinished(self) -> RatingImportQuerySet:
        """Imports whose ratings are not part of the book: under way, or broken off."""
        return self.filter(in_force=False)

    def broken_off(self) -> RatingImportQuerySet:
        """Imports whose process ended in the middle; what they wrote is never to be seen."""
        return self.unfinished().filter(heartbeat__lt=timezone.now() - IMPORT_SILENT_FOR)


class RatingImport(models.Model):
    """A rating file on its way into a source. What it writes is part of the book from when it is in force.

    ``key`` says who asked for it: the same asks again after a kill. ``token`` is the process that writes: one that
    wakes up after another took over sees that it is no longer its own, and stops.
    """

    source = models.ForeignKey(Source, models.PROTECT, related_name="imports")
    key = models.CharField(max_length=64)
    token = models.CharField(max_length=32)
    in_force = models.BooleanField(default=False)
    begun_at = models.DateTimeField(auto_now_add=True)
    heartbeat = models.DateTimeField(default=timezone.now)

    objects = RatingImportQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["source"], condition=models.Q(in_force=False), name="one_import_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.pk} {self.source}"

    @property
    def is_broken_off(self) -> bool:
        return not self.in_force and self.heartbeat < timezone.now() - IMPORT_SILENT_FOR


class RatingQuerySet(models.QuerySet["Rating"]):
    def in_force(self) -> RatingQuerySet:
        """Ratings without those of a file that is still being taken in."""
        return self.exclude(imported_with__in=RatingImport.objects.unfinished())

    def found_by(self, text: str) -> RatingQuerySet:
        """Ratings whose designation begins with what was typed, whatever its spaces and case, in order."""
        key = designation_key(text)
        rows = self.select_related("source").order_by("designation_key", "variant", "source")
        if connections[self.db].vendor == "sqlite":
            # There LIKE goes past the index; a range of the binary order does not.
            return rows.filter(designation_key__gte=key, designation_key__lt=key + "\uffff")
        return rows.filter(designation_key__startswith=key)

    def same_designation(self, rating: Rating) -> RatingQuerySet:
        """The other ratings of a designation: variants, editions, makers."""
        rows = self.select_related("source").exclude(pk=rating.pk)
        return rows.filter(designation_key=rating.designation_key).order_by("source", "variant", "cage")

    def of_designations(self, keys: Collection[str]) -> RatingQuerySet:
        """Ratings of any of these designations, with their sources."""
        return self.filter(designation_key__in=keys).select_related("source")

    def of_envelope(self, bore_mm: float, outside_diameter_mm: float | None = None) -> RatingQuerySet:
        """Ratings of a bore, and of an outside diameter where it is given."""
        rows = self.filter(bore_mm__range=_about(bore_mm))
        if outside_diameter_mm is None:
            return rows
        return rows.filter(outside_diameter_mm__range=_about(outside_diameter_mm))

    def for_matching(self) -> models.QuerySet[Rating, dict[str, Any]]:
        """What a match needs of ratings, by maker and the newest edition first; older editions say so."""
        newer = Source.objects.filter(
            maker=models.OuterRef("source__maker"),
            title=models.OuterRef("source__title"),
            published_on__gt=models.OuterRef("source__published_on"),
        )
        newest_first = models.F("source__published_on").desc(nulls_last=True)
        rows = self.annotate(older_edition=models.Exists(newer)).order_by(
            "source__maker", newest_first, "designation_key", "variant", "cage", "pk"
        )
        columns: models.QuerySet[Rating, dict[str, Any]] = rows.values(*MATCHED_COLUMNS)
        return columns


def _about(size_mm: float) -> tuple[float, float]:
    """Return the ends between which a size is the same."""
    return size_mm - SAME_SIZE_MM, size_mm + SAME_SIZE_MM


def designation_key(text: str) -> str:
    """Return a designation without blanks, dots and dashes, in capitals, for finding it as one types."""
    return "".join(character for character in text.upper() if character.isalnum())


_RatingRows = models.Manager.from_queryset(RatingQuerySet)


class RatingManager(_RatingRows["Rating"]):
    """The ratings of the book: those of a file that is still being taken in are not there yet."""

    def get_queryset(self) -> RatingQuerySet:
        return cast("RatingQuerySet", super().get_queryset()).in_force()


class Rating(models.Model):
    """One bearing, one variant, as one source prints it.

    ``figures`` holds the bearing's fields of the stack file (SI). ``not_printed`` names the fields that the
    source does not print: known to be absent, which is not the same as not yet entered.
    """

    source = models.ForeignKey(Source, models.PROTECT, related_name="ratings")
    designation = models.CharField(_("designation"), max_length=60)
    designation_key = models.CharField(max_length=60, editable=False)
    variant = models.CharField(_("variant"), max_length=60, blank=True)
    cage = models.CharField(_("cage"), max_length=60, blank=True)
    type = models.CharField(_("type"), max_length=30)
    bore_mm = models.FloatField(_("bore"), null=True, blank=True)
    outside_diameter_mm = models.FloatField(_("outside diameter"), null=True, blank=True)
    height_mm = models.FloatField(_("height"), null=True, blank=True)
    figures = models.JSONField(default=dict)
    not_printed = models.JSONField(default=list, blank=True)
    speed_meaning = models.CharField(_("what the printed speeds mean"), max_length=300, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=1000)
    version = models.PositiveIntegerField(default=1)
    imported_with = models.ForeignKey(
        RatingImport, models.PROTECT, null=True, blank=True, editable=False, related_name="ratings"
    )

    objects = RatingManager()
    every = RatingQuerySet.as_manager()

    class Meta:
        ordering = ["designation_key", "variant"]
        constraints = [
            models.UniqueConstraint(
                fields=["source", "designation_key", "variant", "cage"], name="rating_once_per_source"
            )
        ]
        indexes = [
            models.Index(fields=["designation_key"], name="rating_designation"),
            models.Index(fields=["bore_mm", "outside_diameter_mm"], name="rating_envelope"),
        ]

    def __str__(self) -> str:
        return f"{self.designation} {self.variant}".strip()

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.designation_key = designation_key(self.designation)
        super().save(*args, **kwargs)
        Source.every.filter(pk=self.source_id).update(ratings_version=models.F("ratings_version") + 1)


class StoredAssessment(models.Model):
    """What the checker said on the day: inputs, answer and version. Never computed again."""

    at = models.DateTimeField(auto_now_add=True)
    engine_version = models.CharField(max_length=20)
    stack = models.JSONField()
    answer = models.JSONField()
    worst = models.CharField(max_length=4, blank=True)

    def __str__(self) -> str:
        return f"{self.pk} {self.engine_version}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise TypeError("An assessment is never changed; store a new one.")
        super().save(*args, **kwargs)
