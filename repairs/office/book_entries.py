"""Write into the bearing book for a person of the shop: the change and its event in one transaction."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from bearings.public import (
    Rating,
    Source,
    add_rating,
    add_source,
    change_rating,
    change_source,
    rating_values,
    source_values,
)
from repairs.ledger.services import Actor, carry_out_once, record_event


def enter_source(*, actor: Actor, form_key: str, fields: Mapping[str, Any]) -> int:
    """Put a source into the book once, however often the form arrives; return its key."""

    def work() -> dict[str, object]:
        source = add_source(**fields)
        record_event(actor=actor, verb="source.added", subject=source, after=source_values(source))
        return {"pk": source.pk}

    answer, _again = carry_out_once(actor=actor, key=form_key, body=fields, work=work)
    return int(answer["pk"])


@transaction.atomic
def correct_source(*, actor: Actor, source: Source, version: int, fields: Mapping[str, Any]) -> Source:
    """Change what is said of a source."""
    told = source_values(source)
    changed = change_source(source=source, version=version, **fields)
    before, after = differing_values(told, source_values(changed))
    record_event(actor=actor, verb="source.changed", subject=changed, before=before, after=after)
    return changed


def enter_rating(*, actor: Actor, form_key: str, source: Source, fields: Mapping[str, Any]) -> int:
    """Enter a rating once, however often the form arrives; return its key."""

    def work() -> dict[str, object]:
        rating = add_rating(source=source, **fields)
        record_event(actor=actor, verb="rating.added", subject=rating, after=rating_values(rating))
        return {"pk": rating.pk}

    body = {"source": source.pk, **fields}
    answer, _again = carry_out_once(actor=actor, key=form_key, body=body, work=work)
    return int(answer["pk"])


@transaction.atomic
def correct_rating(*, actor: Actor, rating: Rating, version: int, fields: Mapping[str, Any]) -> Rating:
    """Correct a rating; records that copied it keep the figures they were checked with."""
    told = rating_values(rating)
    changed = change_rating(rating=rating, version=version, **fields)
    before, after = differing_values(told, rating_values(changed))
    record_event(actor=actor, verb="rating.changed", subject=changed, before=before, after=after)
    return changed


def differing_values(
    before: dict[str, object], after: dict[str, object]
) -> tuple[dict[str, object], dict[str, object]]:
    """Return only what differs between two rows as events tell them."""
    names = [name for name in after if before.get(name) != after[name]]
    return {name: before.get(name) for name in names}, {name: after[name] for name in names}
