"""Where a job stands, in the customer's eyes: the route without the shop's own notes."""

from __future__ import annotations

from typing import TypedDict

from repairs.work_orders.models import Job, Step


class StepLine(TypedDict):
    """One step and whether it is done."""

    name: str
    state: str


def progress(job: Job) -> list[StepLine]:
    """Return the steps as done, current, to do or left out."""
    rows: list[StepLine] = []
    current_seen = False
    for step in job.steps.order_by("position"):
        state = {Step.State.DONE: "done", Step.State.SKIPPED: "skipped"}.get(Step.State(step.state), "todo")
        if state == "todo" and not current_seen:
            state, current_seen = "current", True
        rows.append({"name": step.title, "state": state})
    return rows
