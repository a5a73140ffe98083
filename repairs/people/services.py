"""Add people, change what they are and may do, let them sign in or not."""

from __future__ import annotations

from typing import Any, Final

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.models import User
from repairs.people.permissions import Role
from repairs.people.sign_in_accounts import begin_anew

CHANGEABLE: Final = ("first_name", "last_name", "role", "units", "language", "is_active")
OWN_SETTINGS: Final = ("units", "language")


class PersonError(Exception):
    """A rule forbids this change of a person. ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class StalePersonError(PersonError):
    """Somebody else changed this person meanwhile."""


@transaction.atomic
def add_person(*, actor: Actor, username: str, password: str, **fields: Any) -> User:
    """Add somebody who can sign in."""
    if User.objects.filter(username__iexact=username).exists():
        raise PersonError(
            _("“{name}” is taken. Choose another sign-in name.").format(name=username), "username"
        )
    person = User(username=username, **fields)
    _check_password(password, person)
    person.set_password(password)
    person.full_clean()
    person.save()
    record_event(
        actor=actor,
        verb="person.added",
        subject=person,
        after={"username": username, **_told(person, CHANGEABLE)},
    )
    return person


@transaction.atomic
def change_person(*, actor: Actor, person: User, version: int, **fields: Any) -> User:
    """Change a person, unless somebody did so since it was shown; the shop keeps an administrator."""
    if unknown := set(fields) - set(CHANGEABLE):
        raise TypeError(f"not changeable: {sorted(unknown)}")
    person = User.objects.select_for_update().get(pk=person.pk)
    if person.version != version:
        raise StalePersonError(_("Someone else changed this person. Compare both before you save."))
    before = _told(person, tuple(fields))
    for name, value in fields.items():
        setattr(person, name, value)
    _keep_an_administrator(actor, person)
    person.version += 1
    person.full_clean()
    person.save()
    after = _told(person, tuple(fields))
    if after != before:
        record_event(actor=actor, verb="person.changed", subject=person, before=before, after=after)
    return person


def change_own_settings(*, actor: Actor, person: User, version: int, units: str, language: str) -> User:
    """Change what a person sets for themselves: units and language."""
    if actor.user_id != person.pk:
        raise PersonError(_("Only the person can change these settings."))
    return change_person(actor=actor, person=person, version=version, units=units, language=language)


def set_password(*, actor: Actor, person: User, password: str) -> None:
    """Give a person a new password: they must sign in again everywhere, and whatever wrong tries held is over."""
    _check_password(password, person)
    # Hashing is made to take long, so it is done before anybody has to wait for the transaction.
    hashed = make_password(password)
    with transaction.atomic():
        person = User.objects.select_for_update().get(pk=person.pk)
        person.password = hashed
        person.save(update_fields=["password"])
        begin_anew(person.get_username(), timezone.now())
        record_event(actor=actor, verb="person.password_set", subject=person)


def _told(person: User, names: tuple[str, ...]) -> dict[str, object]:
    return {name: getattr(person, name) for name in names}


def _check_password(password: str, person: User) -> None:
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise PersonError(" ".join(error.messages), "password") from error


def _keep_an_administrator(actor: Actor, person: User) -> None:
    """Refuse to leave the shop without somebody who can manage people, and to lock oneself out."""
    if person.is_active and person.role == Role.ADMINISTRATOR:
        return
    others = User.objects.filter(role=Role.ADMINISTRATOR, is_active=True).exclude(pk=person.pk)
    if not others.exists():
        was = User.objects.filter(pk=person.pk, role=Role.ADMINISTRATOR, is_active=True)
        if was.exists():
            raise PersonError(
                _("This is the last administrator. Make someone else an administrator first."), "role"
            )
    if not person.is_active and actor.user_id == person.pk:
        raise PersonError(_("You cannot disable yourself. Ask another administrator."), "is_active")
