"""People of the shop, the tablets they share, the PINs that they use there, and how often each was tried."""

from repairs.people.models.device import Device
from repairs.people.models.person import User
from repairs.people.models.pin import Pin, PinTry
from repairs.people.models.try_count import TryCount

__all__ = ["Device", "Pin", "PinTry", "TryCount", "User"]
