"""Which services the guard of an ended job is asked of, and which are beside it."""

from __future__ import annotations

import pkgutil
from importlib import import_module
from typing import Final

from repairs.documents import links, reports
from repairs.documents import services as documents
from repairs.measurements import limit_services, seat_services
from repairs.measurements import services as readings
from repairs.measurements.computed import factors
from repairs.measurements.observations import services as observations
from repairs.measurements.shop_tests import run_services, shop_services
from repairs.measurements.shop_tests import services as shop_tests
from repairs.work_orders import services

MODULES: Final = (
    *(
        import_module(f"{services.__name__}.{found.name}")
        for found in pkgutil.iter_modules(services.__path__)
    ),
    readings,
    limit_services,
    seat_services,
    shop_tests,
    shop_services,
    observations,
    run_services,
    factors,
    documents,
    reports,
    links,
)
# What changes the shop and not a job, or makes a job.
OF_NO_JOB: Final = {
    "opening.open_job",
    "receiving.receive_job",
    "policy.change_policy",
    "standard_routes.write_templates",
    *(f"merges.{act}" for act in ("merge_motors", "merge_customers", "undo_merge")),
    "templates.add_template",
    "templates.change_template",
    "templates.add_template_step",
    "templates.change_template_step",
    "templates.move_template_step",
    "templates.remove_template_step",
    "shop_services.change_sheet",
    "shop_services.keep_instrument",
    "factors.accept_factor",
}
# The list of what an ended job takes.
TAKEN: Final = {
    "ended_job.reopen_job",
    "ended_job.record_pickup",
    "ended_job.record_invoice",
    "services.issue_document",
    "late_entries.keep_for_lead",
    "late_entries.set_aside",
    "late_entries.accept_into_job",
    "late_entries.mark_late_seen",
    "links.make_link",
    "links.revoke_link",
}
# Parts of services, only ever called behind the guard by those that are walked.
INSIDE: Final = {
    "pictures.prepare_photos",
    "chain.complete_chain",
    "route.leave_out",
    "stack_changes.carried_out",
    "stack_changes.change_record",
    "stack_changes.version_made",
    "stack_changes.refuse_earlier_recorder",
    "stack_signing.freeze",
    "taking_back.can_be_taken_back",
    "work.stop_clocks",
    "work.stop_clocks_of_job",
}
