"""The only door into ``bearings`` for the rest of the project."""

from bearings.engineering.quantities import Bearing, Guide, Lubrication, MotorDuty, Part, Policy, Stack, item_refs
from bearings.models import Rating, Source, StoredAssessment

__all__ = [
    "Bearing",
    "Guide",
    "Lubrication",
    "MotorDuty",
    "Part",
    "Policy",
    "Rating",
    "Source",
    "Stack",
    "StoredAssessment",
    "item_refs",
]
