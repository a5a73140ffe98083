"""What the preview of a rating file shows: how it is read, what its lines are, what is wrong, asked and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import book_file, plain
from repairs.long_work.models import LongWork
from repairs.office.book_file_forms import ImportForm
from repairs.office.book_importing import CHECK, Target, check_kept
from repairs.office.kept_files import FileGoneError

SEPARATORS: Final = {",": gettext_lazy("comma"), ";": gettext_lazy("semicolon"), "\t": gettext_lazy("tab")}
KINDS: Final = (
    ("new", gettext_lazy("new")),
    ("changed", gettext_lazy("different")),
    ("same", gettext_lazy("already in the book, skipped")),
    ("wrong", gettext_lazy("wrong")),
    ("repeated", gettext_lazy("twice in the file")),
    ("doubtful", gettext_lazy("to check")),
)


def preview_context(
    report: Mapping[str, Any],
    *,
    digest: str,
    name: str,
    target: Target,
    work: LongWork | None = None,
    form: ImportForm | None = None,
) -> dict[str, object]:
    """Return what the preview's template shows; ``form`` is one that was refused."""
    counts = report["counts"]
    seen = {"digest": digest, "name": name, "target": asdict(target), "book": report["book"]}
    return {
        "name": name,
        "target": target,
        "target_words": target.words(),
        "counts": counts,
        "lines": plain(report["survey"]["lines"]),
        "kinds": [(words, plain(counts[kind])) for kind, words in KINDS if counts[kind] or kind == "new"],
        "reading": reading_words(report["survey"]),
        "wrong": report["wrong"],
        "questions": report["questions"],
        "changes": [_change(one) for one in report["changes"]],
        "may_take_in": not counts["wrong"] and (counts["new"] or counts["changed"]),
        "form": form or ImportForm(initial={**seen, "work": work and work.pk}),
    }


def seen_again(form: ImportForm) -> dict[str, object]:
    """Return the preview that a form was sent from, and hold the form's decisions against it.

    A short file is read again. One that is gone may have been taken in by this very form: that is found out later.
    """
    data = form.cleaned_data
    work = LongWork.objects.filter(pk=data["work"], kind=CHECK, state=LongWork.State.DONE).first()
    try:
        known = work is not None and "counts" in work.outcome
        report = work.outcome if work and known else check_kept(data["digest"], data["target"])
    except FileGoneError:
        return {}
    form.hold_against(report["counts"])
    seen = {name: data[name] for name in ("digest", "name", "target")}
    return preview_context(report, work=work, form=form, **seen)


def reading_words(survey: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Say how a file was read: what a person should look at before the figures."""
    units = survey["units"]
    by_unit: dict[str, list[str]] = {}
    for name, unit in units.items():
        by_unit.setdefault(unit, []).append(name)
    told = [f"{unit}: {', '.join(names)}" for unit, names in by_unit.items()]
    absent = [name for name in book_file.COLUMNS if name not in survey["columns"]]
    comma = _("comma, whole file") if survey["comma"] else _("point")
    rows = [
        (_("Separator"), str(SEPARATORS[survey["separator"]])),
        (_("Decimal sign"), comma),
        (_("Units"), " · ".join(told)),
        (_("Missing columns"), ", ".join(absent)),
    ]
    if survey["mark"]:
        rows.insert(1, (_("Encoding"), _("UTF-8 with a byte-order mark")))
    return [(label, words) for label, words in rows if words]


def _change(change: Mapping[str, Any]) -> dict[str, object]:
    identity = " · ".join(change[name] for name in ("designation", "variant", "cage") if change[name])
    figures = [
        {"column": one["column"], "old": _said(one["old"]), "new": _said(one["new"])}
        for one in change["differences"]
    ]
    return {"line": change["line"], "identity": identity, "differences": figures}


def _said(value: Any) -> str:
    if value is None:
        return _("not entered")
    if value == "-":
        return _("not printed")
    return value if isinstance(value, str) else plain(value)
