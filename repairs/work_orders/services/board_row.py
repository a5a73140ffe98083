"""What the board reads of a job: one row that repeats where it stands."""

from __future__ import annotations

from repairs.work_orders.models import Job, Step


def refresh_board(job: Job) -> None:
    """Repeat on the job's row where it stands, so that the board reads one table."""
    steps = list(job.steps.order_by("position").values_list("state", "title", "kind"))
    at = next((n for n, step in enumerate(steps) if step[0] == Step.State.WAITING), None)
    job.steps_total = len(steps)
    job.step_position = len(steps) if at is None else at
    job.step_title = steps[at][1] if at is not None else ""
    job.step_kind = steps[at][2] if at is not None else ""
    job.save(update_fields=["steps_total", "step_position", "step_title", "step_kind"])
