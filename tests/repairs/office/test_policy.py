"""The shop policy: limits by the names of the stack file, guarded against stale edits; the route templates."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.permissions import Role
from repairs.work_orders.judging import shop_limits
from repairs.work_orders.models import RouteTemplate, ShopPolicy
from repairs.work_orders.services.policy import DEFAULTS
from tests.repairs.factories import make_job, make_template, make_user

pytestmark = pytest.mark.django_db
URL = reverse("office:policy")


@pytest.fixture
def signed_in(client):
    client.force_login(make_user("lead", units="si"))
    return client


def policy_form(**fields) -> dict[str, str]:
    limits = {name: value for name, value in DEFAULTS.items() if name != "set_factors"}
    whole = {"name": "Mill Street Motors", "address": "", "version": 1, **limits, **DEFAULTS["set_factors"]}
    whole |= {"minimum_speed_margin": "10", "warm_preload_share": "10 %"}
    return {name: str(value) for name, value in {**whole, **fields}.items() if value is not None}


def test_the_page_shows_every_limit_with_its_default_range_and_source(signed_in):
    html = signed_in.get(URL).content.decode()
    for name in [*DEFAULTS, *DEFAULTS["set_factors"]]:
        assert name == "set_factors" or f'name="{name}"' in html
    assert "default 40,000\u00a0h; common practice, no source" in html


def test_only_what_differs_from_the_defaults_is_stored_and_the_checker_gets_it(signed_in):
    answer = signed_in.post(URL, policy_form(minimum_speed_margin="15", tandem_pair="0.85"))
    assert answer.status_code == 302
    assert shop_limits() == {"minimum_speed_margin": 0.15, "set_factors": {"tandem_pair": 0.85}}
    event = Event.objects.get(verb="policy.changed")
    assert event.before["limits"] == {}
    assert event.after["limits"]["minimum_speed_margin"] == 0.15


def test_a_limit_put_back_to_its_default_is_no_longer_stored(signed_in):
    signed_in.post(URL, policy_form(stop_l10h="10000"))
    signed_in.post(URL, policy_form(version=ShopPolicy.objects.get().version))
    assert shop_limits() == {}


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"minimum_speed_margin": "-10"}, "Enter 0 to 1,000%."),
        ({"minimum_speed_margin": "1100"}, "Enter 0 to 1,000%."),
        ({"minimum_speed_margin": "0.10"}, "“0.10” would be 0.1%. Enter 10% or 0.1%."),
        ({"tandem_pair": "nan"}, "Accepted: 0.01 to 2."),
        ({"tandem_pair": "3"}, "Enter 0.01 to 2."),
        ({"warn_l10h": "much"}, "Accepted: 0 to 100,000,000\u00a0h."),
        ({"stop_l10h": ""}, "Enter 0 to 100,000,000\u00a0h."),
        ({"stop_l10h": "50000"}, "below the STOP life"),
    ],
)
def test_a_limit_outside_its_range_is_refused_beside_the_field(signed_in, fields, said):
    answer = signed_in.post(URL, policy_form(name="Typed", **fields))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="Typed"' in answer.content.decode()
    assert not ShopPolicy.objects.filter(name="Typed").exists()


def test_a_stale_policy_shows_both_values_and_can_be_sent_again(signed_in):
    signed_in.post(URL, policy_form(name="First"))
    form = policy_form(name="Second")
    answer = signed_in.post(URL, form)
    html = answer.content.decode()
    assert answer.status_code == 409
    assert "<td>First</td><td>Second</td>" in html
    assert 'value="Second"' in html
    assert ShopPolicy.objects.get().name == "First"
    assert signed_in.post(URL, {**form, "version": ShopPolicy.objects.get().version}).status_code == 302
    assert ShopPolicy.objects.get().name == "Second"


@pytest.mark.parametrize("role", [Role.OFFICE, Role.TECHNICIAN, Role.ENGINEER])
def test_the_policy_is_changed_by_leads_and_administrators_only(client, role):
    client.force_login(make_user(role))
    assert client.get(URL).status_code == 403
    assert client.post(URL, policy_form()).status_code == 403


def act(client, template: RouteTemplate, act: str, **fields):
    template.refresh_from_db()
    body = {"act": act, "version": template.version, **fields}
    return client.post(reverse("office:route_template", args=[template.pk]), body)


def titles(template: RouteTemplate) -> list[str]:
    return list(template.steps.values_list("title", flat=True))


def test_a_new_template_gets_steps_and_then_comes_into_use(signed_in):
    form = {"name": "Sump pumps", "for_build": "vertical_solid", "form_key": uuid4().hex}
    for _time in range(2):
        answer = signed_in.post(reverse("office:new_route_template"), form)
        assert answer.status_code == 302
    template = RouteTemplate.objects.get(name="Sump pumps")
    assert not template.active
    change = {"name": "Sump pumps", "for_build": "vertical_solid", "active": "on"}
    assert act(signed_in, template, "change", **change).status_code == 422
    act(signed_in, template, "add_step", title="Receive", kind="receive")
    act(signed_in, template, "add_step", title="Rewind", kind="winding", chargeable="on")
    assert act(signed_in, template, "change", **change).status_code == 302
    template.refresh_from_db()
    assert template.active
    assert list(template.steps.values_list("title", "kind", "chargeable")) == [
        ("Receive", "receive", False),
        ("Rewind", "winding", True),
    ]


def test_steps_move_up_and_down_and_stay_at_the_ends(signed_in):
    template = make_template()
    before = titles(template)
    first, second = template.steps.all()[:2]
    act(signed_in, template, "up", step=first.pk)
    assert titles(template) == before
    act(signed_in, template, "down", step=first.pk)
    assert titles(template) == [before[1], before[0], *before[2:]]
    act(signed_in, template, "up", step=first.pk)
    assert titles(template) == before
    assert second.title == before[1]


def test_a_step_is_renamed_and_removed_while_open_jobs_keep_their_route(signed_in):
    template = make_template()
    job = make_job(template=template)
    step = template.steps.first()
    act(signed_in, template, "change_step", step=step.pk, title="Take in", kind="receive")
    act(signed_in, template, "remove", step=template.steps.last().pk)
    assert titles(template)[0] == "Take in"
    assert template.steps.count() == job.steps.count() - 1
    assert job.steps.first().title == "Receive and tag"
    assert Event.objects.filter(verb="template.changed").count() == 2


def test_a_button_pressed_twice_acts_once(signed_in):
    template = make_template()
    body = {"act": "down", "step": template.steps.first().pk, "version": template.version}
    url = reverse("office:route_template", args=[template.pk])
    before = titles(template)
    assert signed_in.post(url, body).status_code == 302
    answer = signed_in.post(url, body)
    assert answer.status_code == 409
    assert "changed this template" in answer.content.decode()
    assert titles(template) == [before[1], before[0], *before[2:]]


def test_a_refused_step_keeps_what_was_typed(signed_in):
    template = make_template()
    answer = act(signed_in, template, "add_step", title="x" * 121, kind="other")
    assert answer.status_code == 422
    assert "x" * 121 in answer.content.decode()


@pytest.mark.parametrize("fields", [{"step": "999999"}, {"step": "x"}, {"step": ""}])
def test_a_step_that_is_gone_is_named_as_gone(signed_in, fields):
    template = make_template()
    answer = act(signed_in, template, "up", **fields)
    assert answer.status_code == 422
    assert "no longer in the template" in answer.content.decode()


def test_a_taken_name_is_refused(signed_in):
    first, second = make_template(), make_template()
    answer = act(signed_in, second, "change", name=first.name, for_build="")
    assert answer.status_code == 422
    form = {"name": first.name, "for_build": "", "form_key": "k"}
    answer = signed_in.post(reverse("office:new_route_template"), form)
    assert answer.status_code == 422
    assert "A template named" in answer.content.decode()
