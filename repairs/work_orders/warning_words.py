"""What stack records warn of is kept in codes and figures; here it becomes sentences, in the reader's units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NotRequired, TypedDict

from django.conf import settings
from django.utils.translation import gettext as _

from bearings.public import (
    Figures,
    Finding,
    Units,
    field_label,
    field_value,
    finding_sentence,
)
from repairs.work_orders.models import Stage

DifferenceCode = Literal[
    "turned-over", "moved", "replaced", "missing", "added", "rating-changed", "not-shown"
]


class DifferenceRow(TypedDict):
    """One difference of two records of a job, as a record keeps it.

    ``stages`` names both records; ``fields`` differ, with both values behind each other in ``values``. ``doubt``: a
    bearing turned over may be the whole stack upside down. ``in_place``: each bearing was (with ``doubt``: may have
    been) turned over where it stands, the parts of the mount were not. Rows of former versions hold an English
    sentence as ``text`` in place of all these, and are read as they were written.
    """

    code: DifferenceCode
    ref_before: str
    ref_after: str
    stages: NotRequired[list[str]]
    fields: NotRequired[list[str]]
    values: NotRequired[list[str]]
    faces: NotRequired[list[str]]
    doubt: NotRequired[bool]
    in_place: NotRequired[bool]
    text: NotRequired[str]


class DifferenceAlert(DifferenceRow):
    """A difference that stops a job."""

    kind: Literal["difference"]


class FindingAlert(TypedDict):
    """The worst finding of a job's specified stack; ``text`` is all that a former version kept of its figures."""

    kind: Literal["finding"]
    code: str
    ref: str | None
    value: float | None
    limit: float | None
    unit: str | None
    severity: NotRequired[Literal["note", "warn", "stop"]]
    source: NotRequired[str]
    refs: NotRequired[list[str]]
    params: NotRequired[dict[str, Any]]
    text: NotRequired[str]


Alert = DifferenceAlert | FindingAlert


def shop_units() -> Units:
    """Return the units of what is worded for nobody in particular: gates, overrides."""
    return "us" if settings.SHOP_UNITS == "us" else "si"


def alert_text(alert: Alert, units: Units) -> str:
    """Say what a job is warned of."""
    if "text" in alert:
        return alert["text"]
    if alert["kind"] == "difference":
        return difference_text(alert, units)
    return finding_sentence(finding_of(alert, alert["params"]), units)


def alert_of(finding: Finding) -> FindingAlert:
    """Return a finding as a job keeps it."""
    return {
        "kind": "finding", "code": finding.code, "severity": finding.severity, "ref": finding.ref,
        "value": finding.value, "limit": finding.limit, "unit": finding.unit, "source": finding.source,
        "refs": list(finding.refs), "params": dict(finding.params),
    }  # fmt: skip


def finding_of(row: Mapping[str, Any], params: Mapping[str, Any]) -> Finding:
    """Return a finding as it was before it was kept as JSON."""
    return Finding(
        code=row["code"],
        severity=row["severity"],
        ref=row["ref"],
        value=row["value"],
        limit=row["limit"],
        unit=row["unit"],
        source=row["source"],
        params={key: tuples(value) for key, value in params.items()},
        refs=tuple(row.get("refs", ())),
    )


def tuples(value: Any) -> Any:
    """JSON knows lists only; the sentences ask for tuples."""
    return tuple(tuples(one) for one in value) if isinstance(value, list) else value


def difference_text(row: DifferenceRow, units: Units) -> str:
    """Say one difference, naming the stages of both records."""
    if "text" in row:
        return row["text"]
    if not row["ref_before"] and not row["ref_after"]:
        if row.get("in_place"):
            return _("The whole bearing set is upside down. It now carries up what it carried down.")
        return _("The whole stack is upside down. It now carries up what it carried down.")
    first, second = (str(Stage(stage).label) for stage in row["stages"])
    values = {
        "first": first,
        "second": second,
        "was": called(row["ref_before"]),
        "now": called(row["ref_after"]),
        "changes": _changes(row, Figures(units)),
    }
    sentences = {
        "turned-over": _(
            "{now} is upside down. {first}: wide face {face_before}. {second}: wide face {face_after}."
        ),
        "moved": _("{now} changed position. {first}: it was {was}."),
        "replaced": _("{now} does not match {was} ({first}): {changes}."),
        "missing": _("{was} ({first}) is missing."),
        "added": _("{now} was added. {first}: not on the list."),
        "rating-changed": _("{now} has different data than {was} ({first}): {changes}."),
        "not-shown": _("{now} is missing data of {was} ({first}): {changes}."),
    }
    if "faces" in row:
        words = {"up": _("up"), "down": _("down")}
        values["face_before"], values["face_after"] = (words.get(face, "?") for face in row["faces"])
    text = sentences[row["code"]].format(**values)
    text = text[:1].upper() + text[1:]
    if row.get("doubt") and row.get("in_place"):
        text += " " + _(
            "Or the whole bearing set is upside down: identical bearings without a serial or mark "
            "look the same both ways. Check marks and photos."
        )
    elif row.get("doubt"):
        text += " " + _(
            "Or the whole stack is upside down: identical bearings without a serial or mark "
            "look the same both ways. Check marks and photos."
        )
    return text


def called(ref: str | None) -> str:
    """Name a part by its number or letter."""
    ref = ref or ""
    if ref.startswith("g") and ref[1:].isdigit():
        return _("guide {number}").format(number=ref[1:])
    return (_("bearing {ref}") if ref.isdigit() else _("part {ref}")).format(ref=ref)


def _changes(row: DifferenceRow, figures: Figures) -> str:
    """Name each field that differs with both values."""
    values = row.get("values", [])
    words = []
    for name, was, now in zip(row.get("fields", []), values[::2], values[1::2], strict=True):
        before, after = (field_value(name, text, figures) for text in (was, now))
        if before == after:
            # The rounding for the eye hides what differs.
            before, after = was, now
        text = _("{field} was {before}, now {after}")
        words.append(text.format(field=field_label(name), before=before or "–", after=after or "–"))
    return "; ".join(words)
