"""The only door into ``bearings`` for the rest of the project."""

from bearings.models import Rating, Source, StoredAssessment

__all__ = ["Rating", "Source", "StoredAssessment"]
