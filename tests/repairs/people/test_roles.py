"""What each role may do, written down a second time: a permission given or taken by mistake is seen here."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse

from repairs.people.permissions import (
    BENCH_ROLES,
    ROLE_MAP,
    Permission,
    Role,
    allow,
    open_to_everyone,
    role_may,
)
from tests.repairs.factories import make_user

# Permission: first letters of the roles that have it, of office, technician, lead, engineer, administrator.
HELD = {
    "view_shop": "OTLEA",
    "print_documents": "OTLEA",
    "open_jobs": "OLA",
    "edit_customers": "OLA",
    "merge_records": "OLA",
    "issue_reports": "OLA",
    "edit_motors": "OTLEA",
    "hold_jobs": "OTLEA",
    "work_steps": "TLEA",
    "record_stacks": "TLEA",
    "specify_stacks": "LEA",
    "edit_book": "LEA",
    "confirm_overrides": "LEA",
    "edit_limits": "LEA",
    "accept_factors": "EA",
    "edit_route": "LA",
    "approve_stacks": "LA",
    "override_gates": "LA",
    "reopen_jobs": "LA",
    "review_reports": "LA",
    "edit_policy": "LA",
    "unlock_pins": "LA",
    "manage_people": "A",
    "manage_backups": "A",
    "undo_merges": "A",
}


@pytest.mark.parametrize("permission", Permission.values)
def test_a_permission_is_held_by_these_roles_and_no_other(permission):
    holding = {role for role in Role.values if role_may(role, Permission(permission))}
    assert holding == {role for role in Role.values if role[0].upper() in HELD[permission]}


def test_every_role_and_permission_is_on_the_map_and_a_role_that_is_not_may_nothing():
    assert set(ROLE_MAP) == set(Role.values)
    assert set(HELD) == set(Permission.values)
    assert not any(role_may(role, one) for one in Permission for role in ("", "foreman", "Lead"))


def test_only_who_works_at_the_bench_and_gives_out_no_pins_has_one():
    assert set(BENCH_ROLES) == {"technician", "lead", "engineer"}


@allow(Permission.EDIT_BOOK)
def book_page(request, number):
    """A page of the bearing book."""
    return HttpResponse(f"page {number}")


@pytest.mark.django_db
def test_a_guarded_view_lets_in_who_may_refuses_others_and_asks_strangers_to_sign_in(rf):
    request = rf.get("/book/7?sort=bore")
    request.user = make_user("engineer")
    assert book_page(request, number=7).content == b"page 7"
    request.user = make_user("technician")
    with pytest.raises(PermissionDenied):
        book_page(request, number=7)
    request.user = AnonymousUser()
    answer = book_page(request, number=7)
    assert answer.status_code == 302
    assert answer.url.endswith("next=/book/7%3Fsort%3Dbore")
    request.htmx = True
    fragment = book_page(request, number=7)
    assert fragment.status_code == 200
    assert fragment["HX-Redirect"].endswith("?next=/book/7")


def test_a_view_says_what_it_asks_for_and_keeps_its_name():
    assert book_page.required_permission == Permission.EDIT_BOOK
    assert (book_page.__name__, book_page.__doc__) == ("book_page", "A page of the bearing book.")

    def leaflet(request):
        return HttpResponse("")

    assert open_to_everyone(leaflet) is leaflet
    assert leaflet.required_permission is None
