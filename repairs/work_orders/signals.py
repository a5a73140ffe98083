"""What the shop's work tells to whoever depends on it, in the transaction of the change."""

from __future__ import annotations

from django.dispatch import Signal

# Sent with policy and actor when the limits of the checker changed; the name on the papers is none.
limits_changed = Signal()

# Sent with motors, among which jobs changed hands: what repeats a job's motor follows.
jobs_moved = Signal()
