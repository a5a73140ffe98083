"""Change the limits this shop works to, and the name on its papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import Policy, check_value, field_spec
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import ShopPolicy
from repairs.work_orders.signals import limits_changed

DEFAULTS: dict[str, Any] = asdict(Policy())


def shop_policy() -> ShopPolicy:
    """Return the shop's one policy; a shop that never changed it works to the defaults."""
    return ShopPolicy.objects.filter(pk=1).first() or ShopPolicy(pk=1)


def overrides(limits: Mapping[str, float | None], set_factors: Mapping[str, float]) -> dict[str, Any]:
    """Return only what differs from the defaults, so that a better default reaches a shop that never chose."""
    kept: dict[str, object] = {}
    for name, value in limits.items():
        _check("policy", name, value)
        if value != DEFAULTS[name]:
            kept[name] = value
    factors = {}
    for name, value in set_factors.items():
        _check("set_factors", name, value)
        if value != DEFAULTS["set_factors"][name]:
            factors[name] = value
    return {**kept, "set_factors": factors} if factors else kept


def _check(room: Any, name: str, value: float | None) -> None:
    _value, wrong = check_value(field_spec(room, name), value)
    if wrong:
        raise WorkOrderError(wrong, name)


@transaction.atomic
def change_policy(
    *,
    actor: Actor,
    version: int,
    name: str,
    address: str,
    limits: Mapping[str, float | None],
    set_factors: Mapping[str, float],
) -> ShopPolicy:
    """Change the policy, unless somebody did so since it was shown."""
    kept = overrides(limits, set_factors)
    if kept.get("stop_l10h", DEFAULTS["stop_l10h"]) > kept.get("warn_l10h", DEFAULTS["warn_l10h"]):
        raise WorkOrderError(
            _("The WARN life is below the STOP life. Enter at least the STOP life."),
            "warn_l10h",
        )
    ShopPolicy.objects.get_or_create(pk=1)
    policy = ShopPolicy.objects.select_for_update().get(pk=1)
    if policy.version != version:
        raise StaleVersionError(_("Someone else changed the shop policy. Compare both before you save."))
    before = _told(policy)
    policy.name, policy.address, policy.limits = name, address, kept
    policy.version += 1
    policy.save()
    if _told(policy) != before:
        record_event(actor=actor, verb="policy.changed", subject=policy, before=before, after=_told(policy))
    if policy.limits != before["limits"]:
        limits_changed.send(sender=ShopPolicy, policy=policy, actor=actor)
    return policy


def _told(policy: ShopPolicy) -> dict[str, object]:
    return {"name": policy.name, "address": policy.address, "limits": policy.limits}
