"""The checker's answer as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from bearings.engineering.assessment import Assessment
from bearings.engineering.comparison import Comparison
from bearings.engineering.results import BearingLoad, GuideLoad
from bearings.wording.differences import difference_sentence, upside_down_sentence
from bearings.wording.figures import Figures, Units
from bearings.wording.findings import finding_sentence
from bearings.wording.labels import case_label, part_label, speed_label, subject_label
from bearings.wording.reasons import arrangement_sentence, not_checked_sentence
from bearings.wording.verdicts import asks_sentence, headline_sentence, verdict_label


def _severity(severity: str) -> str:
    return {"stop": _("STOP"), "warn": _("WARN"), "note": _("NOTE")}[severity]


def _loads(rows: tuple[BearingLoad, ...], guides: tuple[GuideLoad, ...], figures: Figures) -> str:
    told = [
        _("bearing %(ref)s %(load)s") % {"ref": row.ref, "load": figures.force(row.axial_n)} for row in rows
    ]
    told += [
        _("guide %(ref)s %(load)s") % {"ref": guide.ref, "load": figures.force(guide.axial_n)}
        for guide in guides
    ]
    return ", ".join(told)


def _cases(assessment: Assessment, figures: Figures) -> Iterator[str]:
    for case in assessment.judged_cases:
        words = _("%(case)s, %(speed)s, net %(net)s down: %(loads)s")
        if case.net_axial_n < 0:
            words = _("%(case)s, %(speed)s, net %(net)s up: %(loads)s")
        text = words % {
            "case": case_label(case.name),
            "speed": figures.speed(case.speed_rpm),
            "net": figures.force(abs(case.net_axial_n)),
            "loads": _loads(case.bearings, case.guides, figures),
        }
        yield text if case.carried else f"{text} ({_('not carried')})"
        if case.warm is not None:
            yield "  " + _("warm: %(loads)s") % {
                "loads": _loads(case.warm.bearings, case.warm.guides, figures)
            }
    if assessment.unloading_thrust_n is not None:
        thrust = figures.force(assessment.unloading_thrust_n)
        yield _("upthrust bearing unloads at %(thrust)s downthrust") % {"thrust": thrust}


def _subjects(assessment: Assessment) -> Iterator[str]:
    for result in assessment.subjects:
        if result.applies:
            yield f"{verdict_label(result.verdict):<11} {subject_label(result.subject)}"


def _results(assessment: Assessment, figures: Figures) -> Iterator[str]:
    life = assessment.life
    if life.stack_l10h is not None:
        yield _("stack life %(life)s (L10), adjusted life %(modified)s (L10m)") % {
            "life": figures.hours(life.stack_l10h),
            "modified": figures.hours(life.stack_l10mh),
        }
    for row in assessment.static:
        safety = figures.ratio(row.safety)
        yield _("bearing %(ref)s static safety %(safety)s") % {"ref": row.ref, "safety": safety}
    for margin in assessment.speed.margins:
        yield _("speed margin %(margin)s at %(name)s %(speed)s (allowable %(permissible)s)") % {
            "margin": figures.percent(margin.margin),
            "name": speed_label(margin.speed),
            "speed": figures.speed(margin.speed_rpm),
            "permissible": figures.speed(margin.permissible_rpm),
        }
    if assessment.thermal.friction_w is not None:
        yield _("friction %(power)s") % {"power": figures.power(assessment.thermal.friction_w)}


def _sharing(assessment: Assessment, figures: Figures) -> Iterator[str]:
    """Yield what was asked of the load sharing beyond the loads of the cases."""
    sharing = assessment.sharing
    if sharing.greatest_difference is not None:
        most = figures.percent(sharing.greatest_difference)
        yield _("loads with rising contact angle differ by up to %(most)s") % {"most": most}
    if sharing.end_play_um is not None:
        play = figures.small_length(round(sharing.end_play_um, 1))
        yield _("stack end play %(play)s (negative: preloaded)") % {"play": play}
    for row in sharing.mismatch:
        if row.carries_all_um is not None:
            yield _(
                "one of bearings %(upper)s and %(lower)s carries the whole load at %(limit)s face-offset "
                "difference (%(case)s)"
            ) % {
                "upper": row.refs[0],
                "lower": row.refs[1],
                "limit": figures.small_length(round(row.carries_all_um, 1)),
                "case": case_label(row.case),
            }
    for grown in sharing.growth:
        if grown.preload_n is not None and grown.preload_change_n is not None:
            yield _("bearings %(upper)s and %(lower)s preload %(before)s, warm %(after)s") % {
                "upper": grown.refs[0],
                "lower": grown.refs[1],
                "before": figures.force(grown.preload_n),
                "after": figures.force(grown.preload_n + grown.preload_change_n),
            }
    for spring in sharing.springs:
        if spring.solid_from_n is not None:
            solid = figures.force(spring.solid_from_n)
            yield _("bearing %(ref)s springs go solid at %(solid)s") % {"ref": spring.ref, "solid": solid}
    if sharing.duty is not None:
        yield _("life over the duty cycle %(life)s (L10), adjusted life %(modified)s (L10m)") % {
            "life": figures.hours(sharing.duty.stack_l10h),
            "modified": figures.hours(sharing.duty.stack_l10mh),
        }


def _guides(assessment: Assessment, figures: Figures) -> Iterator[str]:
    """Yield what each guide does and how long grease lasts."""
    roles = {"locating": _("locates"), "floating": _("floats"), "not_proven": _("not proven")}
    for row in assessment.guides:
        yield _("guide %(ref)s %(role)s, life %(life)s") % {
            "ref": row.ref,
            "role": roles[row.role],
            "life": figures.hours(row.l10h),
        }
    for greased in assessment.grease:
        life = figures.hours(greased.grease_life_h)
        yield _("grease life %(life)s (%(part)s)") % {"part": part_label((greased.ref,)), "life": life}


def assessment_text(assessment: Assessment, units: Units = "si") -> str:
    """Return the answer as text: headline, what to enter, subjects, findings, results, what is open."""
    figures = Figures(units)
    headline = assessment.headline
    lines = [headline_sentence(headline.verdict, headline.because, assessment.findings, units)]
    lines += [f"- {asks_sentence(one.field, one.refs, one.also)}" for one in headline.ask]
    lines += ["", arrangement_sentence(assessment.arrangement), "", *_subjects(assessment), ""]
    lines += [f"{_severity(one.severity)}  {finding_sentence(one, units)}" for one in assessment.findings]
    if not assessment.findings:
        lines.append(_("No findings."))
    lines += ["", *_cases(assessment, figures), *_sharing(assessment, figures)]
    lines += [*_results(assessment, figures), *_guides(assessment, figures)]
    if assessment.not_checked:
        lines += ["", _("Not proven:")]
        lines += [f"- {not_checked_sentence(one)}" for one in assessment.not_checked]
    return "\n".join(lines)


def comparison_text(comparison: Comparison) -> str:
    """Return the differences as text, one a line."""
    if comparison.same:
        return _("No difference.")
    whole = upside_down_sentence(comparison)
    lines = [] if whole is None else [whole]
    return "\n".join(lines + [difference_sentence(one, comparison) for one in comparison.differences])
