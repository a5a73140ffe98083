"""A person of the shop."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext_lazy as _

from repairs.people.permissions import Permission, Role, role_may


class PersonManager(UserManager["User"]):
    """People; whoever is made by ``createsuperuser`` is an administrator and not the default role."""

    def create_superuser(
        self, username: str, email: str | None = None, password: str | None = None, **fields: Any
    ) -> User:
        """Add an administrator."""
        fields.setdefault("role", Role.ADMINISTRATOR)
        return super().create_superuser(username, email, password, **fields)


class User(AbstractUser):
    """A person who signs in. The role decides what they may do (see ``permissions``)."""

    class Units(models.TextChoices):
        US = "us", _("US customary")
        SI = "si", _("SI")

    class Theme(models.TextChoices):
        SYSTEM = "", _("same as device")
        LIGHT = "light", _("light")
        DARK = "dark", _("dark")

    role = models.CharField(_("role"), max_length=20, choices=Role.choices, default=Role.TECHNICIAN)
    units = models.CharField(_("units"), max_length=2, choices=Units.choices, default=Units.US)
    language = models.CharField(_("language"), max_length=8, default="en")
    version = models.PositiveIntegerField(default=1)

    @property
    def unit_system(self) -> Literal["si", "us"]:
        """The person's units in the words of the checker."""
        return "us" if self.units == self.Units.US else "si"

    objects: ClassVar[PersonManager] = PersonManager()

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def may(self, permission: Permission) -> bool:
        """Whether this person's role allows it."""
        return self.is_active and role_may(self.role, permission)
