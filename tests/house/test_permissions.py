"""Every address says who may use it, and refuses everybody else."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from repairs.people.permissions import ROLE_MAP, Permission, Role
from tests.repairs.factories import make_user
from tests.repairs.people.tablets import at_the_bench

# Django's own views that need no sign-in, and the customer's pages, which a token opens.
SIGNING_IN = {"bench:people", "bench:pin", "bench:pin_password", "bench:switch", "bench:enrol"}
OPEN = {"login", "logout", "favicon", "bench:worker"} | SIGNING_IN

# What a session that a PIN opened on a shared tablet reaches beside the bench's own addresses.
BESIDE_THE_BENCH = {"home", "login", "logout", "favicon", "photo_file", "scanned_paper"}


def addresses(resolver: URLResolver, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from addresses(entry, f"{entry.namespace}:" if entry.namespace else space)
        else:
            yield f"{space}{entry.name}", entry


ADDRESSES = dict(addresses(get_resolver()))


@pytest.mark.parametrize("name", sorted(ADDRESSES))
def test_every_address_says_who_may_use_it(name):
    view = ADDRESSES[name].callback
    assert hasattr(view, "required_permission"), (
        f"{name}: decorate the view with allow() or open_to_everyone()"
    )
    if view.required_permission is None:
        assert name in OPEN or name.startswith("portal:"), (
            f"{name} is open to everyone without being on the list"
        )


def _example(pattern: URLPattern) -> dict[str, object]:
    examples = {
        "int": 1,
        "str": "x",
        "uuid": "00000000-0000-4000-8000-000000000000",
        "slug": "x",
        "path": "x",
    }
    kinds = {type(converter).__name__: converter for converter in pattern.pattern.converters.values()}
    assert kinds is not None
    return {
        key: examples.get(
            type(converter).__name__.removesuffix("Converter").lower().replace("string", "str"), "x"
        )
        for key, converter in pattern.pattern.converters.items()
    }


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(ADDRESSES))
def test_strangers_and_roles_without_the_permission_are_refused(name, client):
    view = ADDRESSES[name].callback
    permission = view.required_permission
    if permission is None:
        return
    url = reverse(name, kwargs=_example(ADDRESSES[name]))
    for method in (client.get, client.post):
        answer = method(url)
        assert answer.status_code in {302, 405}, f"{name}: {answer.status_code} for somebody not signed in"
        if answer.status_code == 302:
            assert answer.url.startswith(reverse("login"))
    for role in Role.values:
        if permission in ROLE_MAP[role]:
            continue
        client.force_login(make_user(role))
        for method in (client.get, client.post):
            assert method(url).status_code in {403, 405}, f"{name}: not refused for {role}"


def test_every_role_is_on_the_map_and_an_unknown_one_may_nothing():
    assert set(ROLE_MAP) == set(Role.values)
    assert all(Permission.VIEW_SHOP in allowed for allowed in ROLE_MAP.values())


@pytest.mark.django_db
def test_a_pin_opens_the_addresses_of_the_bench_and_no_other_one():
    client, _person, _device = at_the_bench("lead")
    wrong, refused = {}, 0
    for name in sorted(ADDRESSES):
        if name.startswith("bench:") or name in BESIDE_THE_BENCH:
            continue
        url = reverse(name, kwargs=_example(ADDRESSES[name]))
        for method in (client.get, client.post):
            answer = method(url)
            refused += 1
            if answer.status_code != 403 or "not for the bench" not in answer.content.decode():
                wrong[name] = answer.status_code
    assert wrong == {}
    assert refused > 100
    assert client.get(reverse("bench:home")).status_code == 200
