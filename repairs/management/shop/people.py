"""Who works in the invented shop."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings

from repairs.ledger.services import Actor
from repairs.people.models import User
from repairs.people.permissions import Role
from repairs.people.pin_services import set_own_pin

PASSWORD = "river gauge 47"


@dataclass(frozen=True, slots=True)
class Person:
    """One invented person; those of the bench have a PIN for shared tablets."""

    username: str
    first_name: str
    last_name: str
    role: str
    figures: str = ""

    @property
    def pin(self) -> str:
        """As many figures as this shop's PINs have."""
        return self.figures[: settings.PIN_DIGITS]


PEOPLE = (
    Person("office", "Front", "Office", Role.OFFICE),
    Person("tech1", "Tech", "One", Role.TECHNICIAN, "40291763"),
    Person("tech2", "Tech", "Two", Role.TECHNICIAN, "71503862"),
    Person("lead", "Shop", "Lead", Role.LEAD, "93046158"),
    Person("engineer", "Shop", "Engineer", Role.ENGINEER, "26850347"),
    Person("admin", "Shop", "Administrator", Role.ADMINISTRATOR),
)


def hire_people() -> dict[str, Actor]:
    """Make the people and return whom to act as, by their sign-in."""
    actors = {}
    for person in PEOPLE:
        user = User.objects.create_user(
            person.username,
            password=PASSWORD,
            first_name=person.first_name,
            last_name=person.last_name,
            role=person.role,
        )
        device = "bench tablet 2" if person.role == Role.TECHNICIAN else "office"
        actors[person.username] = Actor(user_id=user.pk, name=str(user), device=device, role=person.role)
        if person.pin:
            set_own_pin(actor=actors[person.username], person=user, pin=person.pin)
    return actors
