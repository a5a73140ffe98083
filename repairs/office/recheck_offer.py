"""Offer to check all stacks again where the bearing book was changed."""

from __future__ import annotations

from repairs.office.saving import new_key
from repairs.people.permissions import Permission
from repairs.people.requests import ShopRequest
from repairs.rechecks.models import Recheck
from repairs.rechecks.reading import book_offer


def offer_context(
    request: ShopRequest, *, why: str = Recheck.Why.EDITION, about: object = ""
) -> dict[str, object]:
    """Return what ``office/_recheck_offer.html`` shows; nothing for readers who may not change the book."""
    if not request.user.may(Permission.EDIT_BOOK) or (offer := book_offer()) is None:
        return {}
    return {"recheck_offer": {"offer": offer, "form_key": new_key(), "why": why, "about": str(about)[:200]}}
