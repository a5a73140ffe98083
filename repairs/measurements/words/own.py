"""The shop's own rows of a sheet in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

if TYPE_CHECKING:
    from repairs.measurements.shop_tests.sheets import Sheet


def _wrong(note: Note, _write: Written) -> str:
    said = {"yes": _("yes"), "no": _("no")}
    words = _("{row}: answered {said}, must be {must}.")
    return words.format(
        row=note.params["label"],
        said=said.get(str(note.params["said"]), note.params["said"]),
        must=said.get(str(note.params["must"]), note.params["must"]),
    )


def own_words(sheet: Sheet) -> SubjectWords:
    """Return the words of a sheet's own rows: labels as a lead wrote them."""
    labels = {row.code: str(row.label) for row in sheet.own}
    return SubjectWords(
        title=_("Other entries of this step"),
        fields=labels,
        results={f"own_{code}": label for code, label in labels.items()},
        notes={"own_wrong": _wrong},
    )
