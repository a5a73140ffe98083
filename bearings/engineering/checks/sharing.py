"""Checks of load sharing: two models, mismatch in a tandem, growth by heat and fit, life over a duty."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.checks.registry import SHOP_POLICY, STATICS, check
from bearings.engineering.duty import SOURCE as DUTY_SOURCE
from bearings.engineering.evidence import Evidence
from bearings.engineering.growth import FIT_SOURCE, THERMAL_SOURCE
from bearings.engineering.loads import direction_of
from bearings.engineering.mismatch import SOURCE as MISMATCH_SOURCE
from bearings.engineering.results import UNLOADED_BELOW_N, Finding, params
from bearings.engineering.rising_angle import ASSUMED_SOURCE, SOURCE
from bearings.engineering.sharing import PALMGREN_SOURCE

# Both models are told where they differ by more than this of the greater load.
MODELS_DIFFER: Final = 0.05
# A tandem is told of when its stand-outs take more than this of what lets one bearing carry all.
SENSITIVE_SHARE: Final = 0.5
# A set whose preload grows beyond this multiple is warned of (common practice, no source).
PRELOAD_GROWS: Final = 2.0


@check("sharing-models-differ")
def sharing_models_differ(evidence: Evidence) -> Iterator[Finding]:
    """Note where the two models of load sharing differ most, with both loads."""
    rows = [row for row in evidence.shared.loads if row.difference > MODELS_DIFFER]
    if not rows:
        return
    most = max(rows, key=lambda row: row.difference)
    second = ASSUMED_SOURCE if evidence.shared.assumed_groove_ratios else SOURCE
    yield Finding(
        code="sharing-models-differ",
        severity="note",
        ref=most.ref,
        value=most.rising_angle_n,
        limit=most.axial_n,
        unit="N",
        source=f"{PALMGREN_SOURCE}; {second}",
        params=params(
            case=most.case,
            difference=most.difference,
            angle_deg=most.contact_angle_deg,
            assumed=evidence.shared.assumed_groove_ratios,
        ),
    )


@check("mismatch-sensitive")
def mismatch_sensitive(evidence: Evidence) -> Iterator[Finding]:
    """Note stand-outs that nearly, warn of those that wholly, leave a tandem's load to one bearing."""
    for row in evidence.shared.mismatch:
        limit = row.carries_all_um
        if row.stand_out_difference_um is None or limit is None:
            continue
        apart = abs(row.stand_out_difference_um + (row.growth_difference_um or 0.0))
        if apart <= SENSITIVE_SHARE * limit:
            continue
        yield Finding(
            code="mismatch-sensitive",
            severity="warn" if apart >= limit else "note",
            ref=row.refs[1],
            value=apart,
            limit=limit,
            unit="um",
            source=MISMATCH_SOURCE,
            params=params(
                refs=row.refs, case=row.case, load_n=row.load_n, grown=bool(row.growth_difference_um)
            ),
        )


@check("thermal-preload")
def thermal_preload(evidence: Evidence) -> Iterator[Finding]:
    """Warn when heat or fits take an opposed set's preload, double it, or give one to a set that had none."""
    row = next(iter(evidence.shared.growth), None)
    if row is None or row.preload_n is None or row.preload_change_n is None:
        return
    before, after = row.preload_n, row.preload_n + row.preload_change_n
    if before >= UNLOADED_BELOW_N > after:
        kind = "lost"
    elif before < UNLOADED_BELOW_N <= after:
        kind = "gained"
    elif before >= UNLOADED_BELOW_N and after > PRELOAD_GROWS * before:
        kind = "grown"
    else:
        return
    motor = evidence.stack.motor
    yield Finding(
        code="thermal-preload",
        severity="warn",
        ref=row.refs[1],
        value=after,
        limit=before,
        unit="N",
        source=f"{THERMAL_SOURCE}; {FIT_SOURCE}",
        params=params(
            refs=row.refs,
            kind=kind,
            end_play_um=row.end_play_um,
            warmer_k=motor.shaft_warmer_k,
            thermal_um=row.thermal_um,
            fit_um=row.fit_um,
        ),
    )


@check("duty-life")
def duty_life(evidence: Evidence) -> Iterator[Finding]:
    """Weigh the life over the duty against the shop's limits, or the life that was asked for."""
    duty = evidence.shared.duty
    if duty is None or duty.stack_l10h is None:
        return
    policy, required = evidence.stack.policy, evidence.stack.motor.required_l10h
    wanted = policy.warn_l10h if required is None else required
    stop = duty.stack_l10h < policy.stop_l10h
    if not stop and duty.stack_l10h >= wanted:
        return
    yield Finding(
        code="duty-life",
        severity="stop" if stop else "warn",
        value=duty.stack_l10h,
        limit=policy.stop_l10h if stop else wanted,
        unit="h",
        source=f"{DUTY_SOURCE}; " + (SHOP_POLICY if stop or required is None else "life asked for"),
        params=params(parts=len(duty.rows), required=required is not None),
    )


@check("duty-not-carried")
def duty_not_carried(evidence: Evidence) -> Iterator[Finding]:
    """Stop for every part of the duty whose net thrust nothing carries, however short it is."""
    duty = evidence.shared.duty
    for number, row in enumerate(() if duty is None else duty.rows, 1):
        if row.share <= 0 or row.carried is not False or row.net_axial_n is None:
            continue
        yield Finding(
            code="duty-not-carried",
            severity="stop",
            value=abs(row.net_axial_n),
            limit=0.0,
            unit="N",
            source=STATICS,
            params=params(part=number, way=direction_of(row.net_axial_n)),
        )
