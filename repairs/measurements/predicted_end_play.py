"""The end play that the checker predicts of a stack as built: the step's limit where nothing else says one.

It stands as a limit only where pairing, preload or face offset and fits of the set were entered or measured; from
assumed figures it is only expected, and does not open the gate.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Final

from django.conf import settings
from django.utils.translation import gettext as _

from bearings.public import Figures, StoredAssessment
from repairs.measurements.models import Reading
from repairs.motors.units import INCH_MM
from repairs.work_orders.models import Job, Stage

# A dial indicator is read to a hundredth, or to half a thousandth of an inch: common practice, no source.
READ_TO: Final = {"mm": Decimal("0.01"), "in": Decimal("0.0005")}


@dataclass(frozen=True, slots=True)
class Predicted:
    """What an indicator should read under a pull and push with a force, beyond the rotor's weight, not warm."""

    low: Decimal
    high: Decimal
    unit: str
    force_n: float
    is_limit: bool
    since: datetime | None

    @property
    def source(self) -> str:
        """Where the limit comes from, as it is kept with a reading."""
        force = Figures("us" if self.unit == "in" else "si").force(self.force_n)
        return _("checker: stack as built, pull and push with {force} beyond the rotor's weight").format(
            force=force
        )

    def holds(self, reading: Reading) -> bool:
        """Whether a reading lies in the band; of one in another unit nothing is said."""
        return reading.unit != self.unit or self.low <= reading.value <= self.high


def predicted_end_play(job: Job) -> Predicted | None:
    """Return the prediction for the stack as it was built and signed without a difference; None where there is none."""
    record = job.stack_records.signed().filter(stage=Stage.AS_BUILT).order_by("-revision").first()
    if record is None or record.assessment is None or record.differences:
        return None
    return _of(record.assessment, record.signed_at)


def _of(stored: StoredAssessment, since: datetime | None) -> Predicted | None:
    found = stored.answer.get("end_play_mounted")
    if not found or found.get("gauge_low_um") is None or found.get("gauge_high_um") is None:
        return None
    unit = "in" if settings.SHOP_UNITS == "us" else "mm"
    one_um = Decimal("0.001") / (Decimal(str(INCH_MM)) if unit == "in" else 1)
    step = READ_TO[unit]
    low = (Decimal(str(found["gauge_low_um"])) * one_um / step).to_integral_value(ROUND_FLOOR) * step
    high = (Decimal(str(found["gauge_high_um"])) * one_um / step).to_integral_value(ROUND_CEILING) * step
    return Predicted(
        max(low, Decimal(0)), high, unit, found["gauge_force_n"], found["basis"] == "entered", since
    )
