"""What motors tell to whoever depends on them, in the transaction of the change."""

from __future__ import annotations

from django.dispatch import Signal

# Sent with motor and actor when what the plate asks of the bearings became another duty or another oil.
duty_changed = Signal()
