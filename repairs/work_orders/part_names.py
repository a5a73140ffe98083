"""What the parts of a stack that are no bearings are called."""

from __future__ import annotations

from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

PART_NAMES: Final[dict[str, str | Promise]] = {
    "spacer": gettext_lazy("Spacer"),
    "shim": gettext_lazy("Shim"),
    "snap_ring": gettext_lazy("Snap ring"),
    "lock_nut": gettext_lazy("Lock nut"),
    "lock_washer": gettext_lazy("Lock washer"),
    "shoulder": gettext_lazy("Shoulder or flange"),
    "spring_pack": gettext_lazy("Springs"),
    "slinger": gettext_lazy("Slinger"),
}
