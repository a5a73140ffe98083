"""Answers of shop tests as they are kept: the same type comes back, whatever the tables say by then."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Missing, Note, Result, Value, Working

VERSION: Final = 1


def answer_data(answer: Answer) -> dict[str, Any]:
    """Return an answer as JSON holds it."""
    return {
        "version": VERSION,
        "results": [
            {
                **one._asdict(),
                "standard": _limit_data(one.standard),
                "limit": _limit_data(one.limit),
            }
            for one in answer.results
        ],
        "notes": [
            {
                "code": one.code,
                "severity": one.severity,
                "params": dict(one.params),
                "source": None if one.source is None else one.source._asdict(),
            }
            for one in answer.notes
        ],
        "missing": [one._asdict() for one in answer.missing],
        "working": [{**one._asdict(), "source": one.source._asdict()} for one in answer.working],
    }


def answer_of(data: Mapping[str, Any]) -> Answer:
    """Return a kept answer."""
    return Answer(
        tuple(
            Result(**{**one, "standard": _limit(one["standard"]), "limit": _limit(one["limit"])})
            for one in data.get("results", ())
        ),
        tuple(
            Note(one["code"], one["severity"], one["params"], _source(one["source"]))
            for one in data.get("notes", ())
        ),
        tuple(Missing(**one) for one in data.get("missing", ())),
        tuple(Working(**{**one, "source": Source(**one["source"])}) for one in data.get("working", ())),
    )


def _limit_data(limit: Limit | None) -> dict[str, Any] | None:
    return None if limit is None else {**limit._asdict(), "source": limit.source._asdict()}


def _limit(data: Mapping[str, Any] | None) -> Limit | None:
    return None if data is None else Limit(**{**data, "source": Source(**data["source"])})


def _source(data: Mapping[str, Any] | None) -> Source | None:
    return None if data is None else Source(**data)


def entries_data(entries: Mapping[str, Value]) -> dict[str, Any]:
    """Return entries as JSON holds them; the rows of a series as lists."""
    return {
        key: [list(row) for row in value] if isinstance(value, tuple) else value
        for key, value in entries.items()
    }


def entries_of(data: Mapping[str, Any]) -> dict[str, Value]:
    """Return kept entries."""
    return {
        key: tuple(tuple(row) for row in value) if isinstance(value, list) else value
        for key, value in data.items()
    }


def machine_data(machine: Machine) -> dict[str, Any]:
    """Return what is known of a motor, as JSON holds it."""
    return {key: value for key, value in machine._asdict().items() if value is not None}
