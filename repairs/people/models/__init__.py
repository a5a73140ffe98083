"""People of the shop, the tablets they share, and the PINs that they use there."""

from repairs.people.models.device import Device
from repairs.people.models.person import User
from repairs.people.models.pin import Pin, PinTry

__all__ = ["Device", "Pin", "PinTry", "User"]
