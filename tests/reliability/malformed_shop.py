"""The invented shop and whoever sends malformed requests to it: roles, a PIN session, strangers, a customer."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from django.apps import apps
from django.conf import settings
from django.test import Client
from django.utils import timezone

from repairs.documents.links import make_link
from repairs.documents.models import IssuedDocument
from repairs.management.shop.building import build_shop
from repairs.people.models import User
from repairs.people.permissions import Role
from repairs.photos.models import Photo
from repairs.work_orders.models import Job, Stage
from tests.repairs.factories import actor_for
from tests.repairs.people.tablets import at_tablet, enter_pin, make_person_with_pin, make_tablet

CUSTOMER, STRANGER, TABLET, PIN_SESSION = "customer", "stranger", "tablet", "PIN"
READERS = (*Role.values, PIN_SESSION, TABLET, STRANGER, CUSTOMER)


@dataclass
class Shop:
    """What the requests can name, and whoever sends them."""

    clients: dict[str, Client] = field(default_factory=dict)
    token: str = ""
    numbers: tuple[str, ...] = ()
    ids: tuple[str, ...] = ()
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def open(self) -> None:
        """Build the shop, and let everybody in."""
        build_shop()
        self.device_token = make_tablet()[1]
        self.at_bench = make_person_with_pin("lead", username="at the bench")
        self.freshen()

    def freshen(self) -> None:
        """Let in again whoever was signed out, and look which rows there are by now."""
        self.clients = {role: self._signed_in(role) for role in Role.values}
        self.clients |= {reader: Client(raise_request_exception=False) for reader in (STRANGER, CUSTOMER)}
        self.clients |= {reader: self._at_tablet() for reader in (TABLET, PIN_SESSION)}
        User.objects.filter(pk=self.at_bench.pk).update(role="lead", is_active=True)
        enter_pin(self.clients[PIN_SESSION], self.at_bench)
        self.numbers = tuple(Job.objects.order_by("-pk").values_list("number", flat=True)[:60])
        keys = {
            pk
            for model in apps.get_models()
            for pk in model._default_manager.values_list("pk", flat=True)[:12]
        }
        self.ids = tuple(sorted(str(key) for key in keys))
        administrator = User.objects.get(username="admin")
        job = Job.objects.filter(documents__isnull=False).first() or Job.objects.first()
        assert job is not None
        self.token = make_link(actor=actor_for(administrator), job=job, days=30, now=timezone.now())[1]
        self.words = {
            "number": self.numbers,
            "stage": tuple(Stage.values),
            "kind": (
                "traveler",
                "job_tag",
                "stack_card",
                "report",
                "bearing",
                "spacer",
                "lock_nut",
                "shoulder",
            ),
            "uid": ("b1", "b2", "b3", "top", "nut", "x"),
            "size": ("print", "thumbnail", "original", "x"),
            "token": (self.token,),
            "code": (*IssuedDocument.objects.values_list("code", flat=True)[:20], "T-26-0001-1", "x"),
            "photo_id": tuple(str(key) for key in Photo.objects.values_list("pk", flat=True)[:20]),
        }

    def _signed_in(self, role: str) -> Client:
        client = Client(raise_request_exception=False)
        name = {"administrator": "admin", "technician": "tech1"}.get(role, role)
        User.objects.filter(username=name).update(role=role, is_active=True)
        client.force_login(User.objects.get(username=name), settings.AUTHENTICATION_BACKENDS[-1])
        return client

    def _at_tablet(self) -> Client:
        return at_tablet(self.device_token, raise_request_exception=False)

    def word(self, chance: Random, name: str) -> str:
        """Return something that exists, for a part of an address."""
        return chance.choice(self.words.get(name) or self.ids)
