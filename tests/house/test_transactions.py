"""What a service writes, it writes whole: with its event, its counter and the rows that it locks, or not at all."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parents[2]
# Whoever calls one of these writes, or is about to: they lock rows, or put something into the ledger.
WRITING: Final = frozenset(
    {
        "record_event",
        "record_events",
        "lock_open_job",
        "select_for_update",
        "as_seen",
        "ready_to_sign",
        "freeze",
        "locked_step",
        "leave_out",
        "complete_chain",
    }
)
# Called by services inside their transactions; a lone write of one row is whole by itself.
INSIDE: Final = frozenset(
    {
        "repairs/frozen_tables.py freeze_after_migrate",
        "repairs/people/bench_services.py record_sign_out",
        "repairs/work_orders/open_job.py lock_open_job",
        "repairs/work_orders/services/chain.py complete_chain",
        "repairs/work_orders/services/opening.py next_number",
        "repairs/work_orders/services/route.py leave_out",
        "repairs/work_orders/services/route.py locked_step",
        "repairs/work_orders/services/stack_changes.py as_seen",
        "repairs/work_orders/services/stack_signing.py freeze",
        "repairs/work_orders/services/stack_signing.py ready_to_sign",
    }
)
# These hand their work to a transaction that is made elsewhere: carry_out_once() and its like.
HANDED_ON: Final = ("carry_out_once", "atomic", "book_file.arriving")


def writing_functions() -> Iterator[tuple[str, ast.FunctionDef]]:
    """Give each public function that writes, with its place."""
    for path in sorted(ROOT.glob("repairs/**/*.py")):
        if "migrations" in path.parts:
            continue
        for node in ast.parse(path.read_text()).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and _calls(node) & WRITING:
                yield f"{path.relative_to(ROOT)} {node.name}", node


def _calls(node: ast.AST) -> set[str]:
    called = (one.func for one in ast.walk(node) if isinstance(one, ast.Call))
    return {one.id if isinstance(one, ast.Name) else getattr(one, "attr", "") for one in called}


FOUND: Final = dict(writing_functions())


def test_the_walk_finds_the_services() -> None:
    assert len(FOUND) > 90
    assert FOUND.keys() >= INSIDE


@pytest.mark.parametrize("place", sorted(FOUND.keys() - INSIDE))
def test_a_service_writes_in_one_transaction(place: str) -> None:
    path, name = place.split()
    function = getattr(import_module(path.removesuffix(".py").replace("/", ".")), name)
    # What transaction.atomic() wraps still names what it wrapped.
    wrapped = hasattr(function, "__wrapped__")
    body = ast.unparse(ast.Module(FOUND[place].body, []))
    assert wrapped or any(word in body for word in HANDED_ON), (
        f"{place} writes outside a transaction: put @transaction.atomic above it."
    )
