"""A form is carried out once, in two phases: what takes long goes before the transaction."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection, transaction

from repairs.documents.rendering import render_pdf
from repairs.ledger.models import Event, SubmittedForm
from repairs.ledger.services import LedgerError, carry_out_once, record_event
from repairs.ledger.transactions import SlowWorkError, alone_on_the_database, outside_transaction
from repairs.photos.services import decode_photo
from tests.repairs.factories import actor_for, make_user, picture_file

pytestmark = [pytest.mark.django_db, pytest.mark.data]


class Form:
    """A form whose steps are counted."""

    def __init__(self) -> None:
        self.actor = actor_for(make_user())
        self.prepared = self.worked = 0
        self.discarded: list[int] = []

    def send(self, body: dict[str, Any] | None = None, **steps: Any) -> tuple[dict[str, Any], bool]:
        given = {"prepare": self.prepare, "work": self.work, "discard": self.discarded.append, **steps}
        return carry_out_once(actor=self.actor, key="k", body=body or {}, **given)

    def prepare(self) -> int:
        outside_transaction("Preparing")
        self.prepared += 1
        return self.prepared

    def work(self, prepared: int) -> dict[str, Any]:
        assert any(not block._from_testcase for block in connection.atomic_blocks)
        self.worked += 1
        return {"prepared": prepared}


def test_what_is_prepared_reaches_the_transaction_and_stays():
    form = Form()
    assert form.send() == ({"prepared": 1}, False)
    assert form.discarded == []


def test_a_form_that_comes_again_prepares_nothing():
    form = Form()
    form.send()
    assert form.send() == ({"prepared": 1}, True)
    assert (form.prepared, form.worked) == (1, 1)


def test_other_contents_under_one_key_are_refused_before_anything_is_prepared():
    form = Form()
    form.send({"a": 1})
    with pytest.raises(LedgerError, match="other entries"):
        form.send({"a": 2})
    assert form.prepared == 1


def test_what_was_prepared_for_work_that_fails_is_discarded_and_the_key_stays_free():
    form = Form()

    def work(prepared: int) -> dict[str, Any]:
        record_event(actor=form.actor, verb="half", subject=make_user())
        raise LedgerError("no")

    with pytest.raises(LedgerError):
        form.send(work=work)
    assert form.discarded == [1]
    assert not Event.objects.filter(verb="half").exists()
    assert form.send() == ({"prepared": 2}, False)


def test_what_was_prepared_while_another_copy_was_carried_out_is_discarded():
    form = Form()

    def prepare() -> int:
        # The other copy is quicker.
        carry_out_once(actor=form.actor, key="k", body={}, work=lambda: {"prepared": 99})
        return 7

    assert form.send(prepare=prepare) == ({"prepared": 99}, True)
    assert (form.worked, form.discarded) == (0, [7])
    assert SubmittedForm.objects.count() == 1


def test_slow_work_inside_a_transaction_is_stopped():
    outside_transaction("This test")  # the transaction of the test case is not counted
    with transaction.atomic(), pytest.raises(SlowWorkError, match="A thing was begun inside a transaction"):
        outside_transaction("A thing")
    with alone_on_the_database(), transaction.atomic():
        outside_transaction("A thing")


@pytest.mark.parametrize(
    "slow",
    [lambda: decode_photo(picture_file().read(), "a.jpg"), lambda: render_pdf("<p>page</p>")],
    ids=["picture", "paper"],
)
def test_no_picture_is_decoded_and_no_paper_rendered_inside_a_transaction(slow):
    with transaction.atomic(), pytest.raises(SlowWorkError):
        slow()
    form = Form()
    with pytest.raises(SlowWorkError):
        form.send(work=lambda prepared: {"done": bool(slow())})
    assert form.discarded == [1]
