"""The sentence of every finding: its figures, and what to do about it. One file a subject, named as its room."""

from __future__ import annotations

from typing import Final

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, Units
from bearings.wording.finding_parts import Sentence
from bearings.wording.findings import (
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

SENTENCES: Final[dict[str, Sentence]] = {
    **directions.SENTENCES,
    **capacity.SENTENCES,
    **life.SENTENCES,
    **speed.SENTENCES,
    **bearing_set.SENTENCES,
    **skidding.SENTENCES,
    **lubrication.SENTENCES,
    **springs.SENTENCES,
    **preload.SENTENCES,
    **heat.SENTENCES,
    **guides.SENTENCES,
    **parts.SENTENCES,
    **entries.SENTENCES,
}


def finding_sentence(finding: Finding, units: Units = "si") -> str:
    """Return the sentence of a finding in the reader's language and units."""
    return SENTENCES[finding.code](finding, Figures(units))
