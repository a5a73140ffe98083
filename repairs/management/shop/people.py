"""Who works in the invented shop."""

from __future__ import annotations

from dataclasses import dataclass

from repairs.ledger.services import Actor
from repairs.people.models import User
from repairs.people.permissions import Role

PASSWORD = "river gauge 47"


@dataclass(frozen=True, slots=True)
class Person:
    """One invented person."""

    username: str
    first_name: str
    last_name: str
    role: str


PEOPLE = (
    Person("office", "Front", "Office", Role.OFFICE),
    Person("tech1", "Tech", "One", Role.TECHNICIAN),
    Person("tech2", "Tech", "Two", Role.TECHNICIAN),
    Person("lead", "Shop", "Lead", Role.LEAD),
    Person("engineer", "Shop", "Engineer", Role.ENGINEER),
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
    return actors
