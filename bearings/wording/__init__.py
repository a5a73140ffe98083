"""Codes and figures of the engineering turned into sentences, where they are read."""

from __future__ import annotations

from bearings.wording.customer_sentences import customer_not_checked, customer_sentence
from bearings.wording.differences import difference_sentence, upside_down_sentence
from bearings.wording.field_values import field_value
from bearings.wording.figures import FIGURE_UNITS, Figures, Units, sign_of
from bearings.wording.findings import finding_sentence
from bearings.wording.labels import case_label, choice_label, field_label, speed_label, subject_label
from bearings.wording.reasons import arrangement_sentence, not_checked_sentence, reason_sentence

__all__ = [
    "FIGURE_UNITS",
    "Figures",
    "Units",
    "arrangement_sentence",
    "case_label",
    "choice_label",
    "customer_not_checked",
    "customer_sentence",
    "difference_sentence",
    "field_label",
    "field_value",
    "finding_sentence",
    "not_checked_sentence",
    "reason_sentence",
    "sign_of",
    "speed_label",
    "subject_label",
    "upside_down_sentence",
]
