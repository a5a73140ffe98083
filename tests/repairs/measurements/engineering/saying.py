"""What a test's notes say, in both systems of units."""

from __future__ import annotations

from repairs.measurements.engineering.shape import Answer
from repairs.measurements.words import BY_CODE
from repairs.measurements.words.figures import Written


def said(subject: str, answer: Answer) -> dict[str, str]:
    """Return each note's sentence by its code; every note has one in both systems, without a place left open."""
    sentences = {}
    for note in answer.notes:
        for units in ("si", "us"):
            sentence = BY_CODE[subject].notes[note.code](note, Written(units))
            assert sentence, note.code
            assert not {"{", "}"} & set(sentence), sentence
            sentences[note.code] = sentence.replace("\u00a0", " ")
    return sentences


def severities(answer: Answer) -> dict[str, str]:
    """Return each note's severity by its code."""
    return {one.code: one.severity for one in answer.notes}
