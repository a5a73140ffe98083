"""Tables of the work orders, one subject a file."""

from repairs.work_orders.models.jobs import HandOver, Hold, Job, JobCounter, Pickup
from repairs.work_orders.models.late_entries import LateEntry
from repairs.work_orders.models.lay_outs import LayOut
from repairs.work_orders.models.looks import BearingLook
from repairs.work_orders.models.merges import Merge
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.overrides import Override
from repairs.work_orders.models.pictures import JobPhoto
from repairs.work_orders.models.policy import ShopPolicy
from repairs.work_orders.models.route import RouteTemplate, SignOff, Step, TemplateStep
from repairs.work_orders.models.search import SearchKey
from repairs.work_orders.models.stacks import AcceptedFinding, StackRecord, Stage
from repairs.work_orders.models.step_kinds import StepKind
from repairs.work_orders.models.work import (
    CautionRead,
    OutsideService,
    StrippedPart,
    UsedPart,
    WorkPeriod,
)

__all__ = [
    "AcceptedFinding",
    "BearingLook",
    "CautionRead",
    "HandOver",
    "Hold",
    "Job",
    "JobCounter",
    "JobPhoto",
    "LateEntry",
    "LayOut",
    "MadeAtBench",
    "Merge",
    "OutsideService",
    "Override",
    "Pickup",
    "RouteTemplate",
    "SearchKey",
    "ShopPolicy",
    "SignOff",
    "StackRecord",
    "Stage",
    "Step",
    "StepKind",
    "StrippedPart",
    "TemplateStep",
    "UsedPart",
    "WorkPeriod",
]
