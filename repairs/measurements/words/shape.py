"""What every test's words hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, NamedTuple, Union

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

Text = Union[str, "_StrPromise"]


class SubjectWords(NamedTuple):
    """Names of a test, its fields, choices and results, a sentence for each note, and the cautions of the test.

    ``notes`` maps a code to a function of the note and of the writer of figures in the reader's units. ``cautions``
    are read before the test; they defer to the employer's program and local codes.
    """

    title: Text
    fields: Mapping[str, Text]
    results: Mapping[str, Text]
    notes: Mapping[str, Callable[[Note, Written], str]]
    choices: Mapping[str, Text] = {}
    cautions: tuple[Text, ...] = ()
    hints: Mapping[str, Text] = {}
