"""Forms of the import of ratings: which file goes where, and what was decided after its preview."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any, Final
from uuid import uuid4

from django import forms
from django.utils.functional import lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Source, book_file, grouped
from repairs.edge.numbers import row_key
from repairs.edge.text import clean_text
from repairs.office.book_importing import ImportOrder, Target
from repairs.office.kept_files import DIGEST, keep_file

NEW_SOURCE: Final = ("maker", "title", "edition")
LONGEST_NAME: Final = 120
CHANGED_ON_ITS_WAY: Final = gettext_lazy("This form changed on the way. Choose the file again.")


def _largest_file() -> str:
    values = {"size": book_file.MOST_BYTES // 1024**2, "lines": grouped(book_file.MOST_LINES)}
    return _("CSV in UTF-8, up to %(size)s MB and %(lines)s lines.") % values


class FileForm(forms.Form):
    """A file of ratings and the source that it goes into. A file that was received once need not be sent again."""

    file = forms.FileField(
        label=gettext_lazy("Rating file"),
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
        help_text=lazy(_largest_file, str)(),
    )
    source = forms.ModelChoiceField(
        label=gettext_lazy("Source"),
        queryset=Source.objects.all(),
        required=False,
        empty_label=gettext_lazy("new source (enter below)"),
    )
    maker = forms.CharField(label=gettext_lazy("Maker"), max_length=80, required=False)
    title = forms.CharField(label=gettext_lazy("Title"), max_length=120, required=False)
    edition = forms.CharField(label=gettext_lazy("Edition"), max_length=40, required=False)
    published_on = forms.DateField(
        label=gettext_lazy("Date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    digest = forms.RegexField(DIGEST, widget=forms.HiddenInput, required=False)
    name = forms.CharField(widget=forms.HiddenInput, max_length=LONGEST_NAME, required=False)
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64, initial=lambda: uuid4().hex)

    def clean(self) -> dict[str, object]:
        """Keep the file, and ask for what a new source needs."""
        data = super().clean() or self.cleaned_data
        self._take_file(data)
        if "source" in data and data["source"] is None:
            for name in NEW_SOURCE:
                if not data.get(name) and name not in self.errors:
                    words = _("Choose a source above, or enter maker, title and edition of the new one.")
                    self.add_error(name, words)
        return data

    def _take_file(self, data: dict[str, Any]) -> None:
        upload = data.get("file")
        if upload is None:
            if not data.get("digest") and "file" not in self.errors:
                self.add_error("file", _("Choose a file."))
        elif upload.size > book_file.MOST_BYTES:
            words = _("File has {size} MB. Accepted: at most {most} MB.")
            most = book_file.MOST_BYTES // 1024**2
            self.add_error("file", words.format(size=grouped(upload.size / 1024**2, 1), most=most))
        else:
            received = {"digest": keep_file(upload), "name": str(upload.name)[-LONGEST_NAME:]}
            data |= received
            # The next page sends these in place of the file, which a browser never sends twice by itself.
            self.data = {**{name: self.data[name] for name in self.data}, **received}

    def target(self) -> Target:
        """Return where the ratings go."""
        data = self.cleaned_data
        if data["source"] is not None:
            return Target(source_id=data["source"].pk)
        day = data["published_on"]
        texts = {name: data[name].strip() for name in NEW_SOURCE}
        return Target(**texts, published_on=day.isoformat() if day else "")


class _TargetField(forms.JSONField):
    """A target as the preview's form carries it, which anybody can change."""

    def to_python(self, value: Any) -> Any:
        try:
            return super().to_python(value)
        except RecursionError as error:
            raise forms.ValidationError(CHANGED_ON_ITS_WAY) from error


class ImportForm(forms.Form):
    """What a person decides after the preview. The hidden fields say what they saw."""

    changed = forms.ChoiceField(
        label=gettext_lazy("Lines differing from the book"),
        choices=[
            ("refuse", gettext_lazy("refuse the file")),
            ("correct", gettext_lazy("correct the book")),
        ],
        widget=forms.RadioSelect,
        initial="refuse",
        required=False,
    )
    read = forms.BooleanField(
        label=gettext_lazy("I checked these figures; they are entered as printed."), required=False
    )
    digest = forms.RegexField(DIGEST, widget=forms.HiddenInput)
    name = forms.CharField(widget=forms.HiddenInput, max_length=LONGEST_NAME, required=False)
    target = _TargetField(widget=forms.HiddenInput)
    book = forms.JSONField(widget=forms.HiddenInput)
    work = forms.IntegerField(widget=forms.HiddenInput, required=False)
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64, initial=lambda: uuid4().hex)

    def clean_target(self) -> Target:
        """Return the target that the preview was made for."""
        return _target(self.cleaned_data["target"])

    def clean_book(self) -> list[int]:
        """Return the state of the book that the preview was made against."""
        seen = self.cleaned_data["book"]
        if isinstance(seen, list) and all(type(one) is int for one in seen):
            return seen
        raise forms.ValidationError(CHANGED_ON_ITS_WAY)

    def hold_against(self, counts: Mapping[str, int]) -> None:
        """Ask for the decisions that the preview calls for."""
        if counts["doubtful"] and not self.cleaned_data.get("read"):
            self.add_error("read", _("Check these lines, and tick this box."))
        if counts["changed"] and self.cleaned_data.get("changed") != "correct":
            words = _("Lines differ from the book. Choose to correct the book, or remove them from the file.")
            self.add_error("changed", words)

    def order(self) -> ImportOrder:
        """Return what is to be done."""
        data = self.cleaned_data
        return ImportOrder(
            digest=data["digest"],
            name=data["name"],
            target=data["target"],
            correct=data["changed"] == "correct",
            read=data["read"],
            book=data["book"],
        )


def _target(kept: Any) -> Target:
    """Return a target from the values of a hidden field, which anybody can change."""
    longest = {"maker": 80, "title": 120, "edition": 40, "published_on": 10}
    try:
        if any(len(kept[name]) > most for name, most in longest.items()):
            raise ValueError("too long")
        if kept["published_on"]:
            date.fromisoformat(kept["published_on"])
        source = kept["source_id"]
        source_id = None if source is None else row_key(str(source))
        return Target(source_id=source_id, **{name: clean_text(str(kept[name])) for name in longest})
    except (KeyError, TypeError, ValueError) as error:
        raise forms.ValidationError(CHANGED_ON_ITS_WAY) from error


def file_initial(*, digest: str, name: str, target: Target) -> dict[str, object]:
    """Return the choice of a file and its source as the form shows it again."""
    return {**asdict(target), "source": target.source_id, "digest": digest, "name": name}
