"""The subjects that a stack is judged in, one room each, in the order in which answers list them."""

from __future__ import annotations

from typing import Final

from bearings.engineering.subjects import (
    bearing_set,
    capacity,
    directions,
    entries,
    guides,
    heat,
    life,
    lubrication,
    parts,
    preload,
    skidding,
    speed,
    springs,
)
from bearings.engineering.subjects.subject import Look, Subject, SubjectName, Verdict

SUBJECTS: Final[tuple[Subject, ...]] = (
    directions.SUBJECT,
    capacity.SUBJECT,
    life.SUBJECT,
    speed.SUBJECT,
    bearing_set.SUBJECT,
    skidding.SUBJECT,
    lubrication.SUBJECT,
    springs.SUBJECT,
    preload.SUBJECT,
    heat.SUBJECT,
    guides.SUBJECT,
    parts.SUBJECT,
    entries.SUBJECT,
)
SUBJECT_OF_CODE: Final[dict[str, SubjectName]] = {
    code: subject.name for subject in SUBJECTS for code in subject.codes
}
# Every code an answer can hold, in the order of the subjects.
FINDING_CODES: Final[tuple[str, ...]] = tuple(SUBJECT_OF_CODE)

__all__ = [
    "FINDING_CODES",
    "SUBJECTS",
    "SUBJECT_OF_CODE",
    "Look",
    "Subject",
    "SubjectName",
    "Verdict",
]
