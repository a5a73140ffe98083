"""What the checker asks, and the answers that one tap gives."""

from __future__ import annotations

from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Choice = tuple[str, str | Promise]

# Of the motor: the plate's field, and what each answer enters there.
OF_PLATE: Final[dict[str, tuple[str, tuple[Choice, ...]]]] = {
    "motor.fixed_speed": ("fixed_speed", (("yes", _("Across the line")), ("no", _("On a drive")))),
    "motor.non_reverse": ("non_reverse", (("yes", _("Ratchet")), ("no", _("No ratchet")))),
    "motor.up_thrust_duty": (
        "up_thrust_duration", (("momentary", _("Momentary")), ("continuous", _("Continuous"))),
    ),
    "motor.maximum_thrust_duty": (
        "maximum_thrust_duration", (("momentary", _("Momentary")), ("continuous", _("Continuous"))),
    ),
    "motor.mount_bore_mm": ("mount_bore_mm", (("0", _("Solid")),)),
    "lubrication.method": (
        "lubrication",
        (
            ("oil_bath", _("Oil bath")),
            ("oil_circulating", _("Circulating oil")),
            ("oil_jet", _("Oil jet")),
            ("grease", _("Grease")),
        ),
    ),
}  # fmt: skip
# Of the bearings: entered for every bearing of the list that lacks it.
OF_BEARINGS: Final[dict[str, tuple[Choice, ...]]] = {
    "pairing": (("universal", _("Universal")), ("matched", _("Matched set")), ("single", _("Single"))),
    "variant": (("none", _("No variant mark")),),
    "cage_material": (
        ("brass", _("Brass")), ("steel", _("Steel")), ("polyamide", _("Polyamide")), ("other", _("Other")),
    ),
}  # fmt: skip


def choices_of(field: str) -> tuple[Choice, ...]:
    """Return the answers that a tap gives to a question; none where something has to be typed or looked up."""
    return OF_PLATE[field][1] if field in OF_PLATE else OF_BEARINGS.get(field, ())
