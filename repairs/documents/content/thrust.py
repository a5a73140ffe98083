"""The thrust sheet on paper: the stored figures in words and units, nothing worked out again."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.public import thrust_from_values
from repairs.documents.content.reader import Reader
from repairs.motors.models import ThrustSheet
from repairs.motors.thrust_words import CAUTIONS, short_rows, verdict_rows
from repairs.work_orders.models import Job


def thrust_part(job: Job, reader: Reader) -> dict[str, object]:
    """Return the thrust block as a part of a paper; nothing where the motor has no sheet."""
    sheets = ThrustSheet.objects.filter(motor_id=job.motor_id).order_by("-revision")
    summary = sheets.values_list("summary", flat=True).first()
    if summary is None:
        return {}
    signed = summary.get("signed", "")
    state = _("signed by {name}").format(name=signed) if signed else _("draft, not signed")
    block = {
        "revision": summary["revision"],
        "state": state,
        "source": summary.get("source", ""),
        "engine": summary.get("engine", ""),
        "rows": short_rows(summary, reader.units),
        "verdicts": verdict_rows(thrust_from_values(summary).verdicts, reader.units),
        "cautions": [{"signal": signal, "text": str(text)} for signal, text in CAUTIONS],
    }
    return {"thrust": block}
