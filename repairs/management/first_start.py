"""What a new shop starts with: its policy, its route templates, its first administrator; nothing invented."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import grouped
from repairs.ledger.services import SYSTEM, Actor
from repairs.people.models import User
from repairs.people.permissions import Role
from repairs.people.services import add_person
from repairs.shop_folder import ShopFolderError
from repairs.work_orders.models import ShopPolicy
from repairs.work_orders.services.policy import DEFAULTS, change_policy
from repairs.work_orders.services.standard_routes import write_templates


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstShop:
    """How the shop is called on its papers."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAdministrator:
    """Who manages people and tablets from the first day on."""

    username: str
    first_name: str
    last_name: str
    units: str
    password: str


def check_shop_name(name: str) -> None:
    """Refuse a name that the papers have no room for."""
    longest = ShopPolicy._meta.get_field("name").max_length or 0
    if len(name) > longest:
        words = _("The shop name has {count} characters. Accepted: at most {longest}.")
        raise ShopFolderError(words.format(count=grouped(len(name)), longest=grouped(longest)))


def check_administrator(person: FirstAdministrator) -> None:
    """Raise ValidationError where the database is not needed to see that the person cannot be added."""
    user = User(
        username=person.username,
        first_name=person.first_name,
        last_name=person.last_name,
        units=person.units,
        role=Role.ADMINISTRATOR,
    )
    user.clean_fields(exclude=["password"])
    validate_password(person.password, user)


@transaction.atomic
def fill_new_shop(shop: FirstShop, person: FirstAdministrator) -> User:
    """Add the administrator, the policy and the route templates; all or nothing, once.

    Raises :class:`PersonError` when the password or the sign-in name is refused.
    """
    user = add_person(
        actor=SYSTEM,
        username=person.username,
        password=person.password,
        first_name=person.first_name,
        last_name=person.last_name,
        units=person.units,
        role=Role.ADMINISTRATOR,
    )
    actor = Actor(user_id=user.pk, name=str(user), device="office", role=user.role)
    limits = {name: value for name, value in DEFAULTS.items() if name != "set_factors"}
    policy, _is_new = ShopPolicy.objects.get_or_create(pk=1)
    change_policy(
        actor=actor,
        version=policy.version,
        name=shop.name,
        address=policy.address,
        limits=limits,
        set_factors=DEFAULTS["set_factors"],
    )
    write_templates(actor)
    return user
