"""The routes that a new shop starts with: the trade's steps in their order, and what is charged by approval."""

from __future__ import annotations

import pytest

from repairs.ledger.models import Event
from repairs.ledger.services import SYSTEM
from repairs.work_orders.models import RouteTemplate
from repairs.work_orders.services.standard_routes import write_templates

pytestmark = pytest.mark.django_db

# Common practice of motor shops, no source; a star marks work that is charged.
VERTICAL = (
    "receive incoming_test strip_record clean measure observe estimate approval winding* machining* balance* "
    "specify lay_out mount second_person end_play final_test ship report"
)
HORIZONTAL = (
    "receive incoming_test other clean measure observe estimate approval winding* machining* balance* "
    "end_play final_test ship report"
)
BEARINGS = (
    "receive incoming_test strip_record clean measure observe estimate approval "
    "specify lay_out mount second_person end_play final_test ship report"
)


def steps_of(template: RouteTemplate) -> str:
    rows = template.steps.order_by("position").values_list("position", "kind", "chargeable")
    assert [position for position, _kind, _charged in rows] == list(range(1, len(rows) + 1))
    return " ".join(f"{kind}{'*' if charged else ''}" for _position, kind, charged in rows)


def test_a_new_shop_has_three_routes_with_their_steps_and_an_event_each():
    RouteTemplate.objects.all().delete()
    before = Event.objects.filter(verb="template.added").count()
    made = write_templates(SYSTEM)
    assert {name: (one.for_build, one.active, steps_of(one)) for name, one in made.items()} == {
        "Vertical motor, thrust bearings": ("", True, VERTICAL),
        "Horizontal motor": ("horizontal", True, HORIZONTAL),
        "Bearing change only": ("none", True, BEARINGS),
    }
    assert Event.objects.filter(verb="template.added").count() == before + 3


def test_the_steps_are_named_as_the_shop_says_them():
    RouteTemplate.objects.all().delete()
    titles = (
        write_templates(SYSTEM)["Horizontal motor"].steps.order_by("position").values_list("title", flat=True)
    )
    assert list(titles)[:5] == [
        "Receive and tag", "Incoming test", "Teardown", "Clean and dry", "Measure bearing fits, runout"
    ]  # fmt: skip
