"""The commissioning sheet: what is checked at the customer's site, beside what the shop knows of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Bearing, Units, identity, item_refs, parse_stack, plain
from repairs.documents.content import heads, readings, stacks
from repairs.documents.content.reader import Reader
from repairs.documents.content.report import START_UP
from repairs.documents.content.results import LEFT, ShownReading
from repairs.documents.site_fields import SECTIONS, SiteField, asked_of
from repairs.measurements.engineering.limits import Limit
from repairs.measurements.engineering.subjects import BY_CODE, TEST_OF
from repairs.measurements.models import Reading
from repairs.measurements.shop_tests.judging import limits_before
from repairs.measurements.shop_tests.machine import settings_of
from repairs.measurements.shop_tests.presenting import limit_text
from repairs.measurements.standing_limits import read_limits
from repairs.measurements.words.figures import Written
from repairs.measurements.words.sources import source_words
from repairs.motors.models import Motor
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY as PLATE
from repairs.motors.units import QUANTITIES, unit_words
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services.stack_signing import current_specified

# Common practice of the trade, restated in our own words; no source.
AT_SITE: Final[tuple[tuple[str, str | Promise], ...]] = (
    *START_UP,
    (
        "danger",
        gettext_lazy(
            "Test voltage on a winding kills. Lock out the circuit and keep people behind a barrier. Only qualified "
            "people test. Afterward, discharge the winding and ground it for several times the test time."
        ),
    ),
    (
        "warning",
        gettext_lazy(
            "A shaft that turns by itself catches hands and clothing. Touch non-reverse ratchet, coupling and shaft "
            "only while the circuit is locked out and water cannot drain back through the pump."
        ),
    ),
)
GOVERNS: Final = gettext_lazy(
    "Follow your site's lockout procedure and qualified-person rules. The law, local codes, your employer's program "
    "and the instructions of the motor and pump manufacturers govern. This sheet is a reminder; it does not say that "
    "a motor may be energized."
)
LIMITS_ARE: Final = gettext_lazy(
    "Limits are those of the shop's tests, made without the pump. Where the manufacturer or your own program asks "
    "for more, that counts."
)
SLIP: Final = gettext_lazy(
    "Rolling without slip; real bearings run one to two percent lower (common practice, no source). A damaged ball "
    "shows at twice the ball's own frequency."
)
SIGNALS: Final = ("danger", "warning", "caution", "notice")
Row = dict[str, object]


def start_up(job: Job, reader: Reader) -> dict[str, object]:
    """Return the sheet for the customer's site as it stands now."""
    cautions = sorted(AT_SITE, key=lambda one: SIGNALS.index(one[0]))
    return {
        "head": heads.customer_head(job),
        "shop": heads.shop_block(),
        "sections": sections(job, reader),
        "limits_are": str(LIMITS_ARE),
        **_frequencies(job, reader),
        "cautions": [{"signal": signal, "text": str(text), "where": ""} for signal, text in cautions],
        "governs": str(GOVERNS),
    }


def sections(job: Job, reader: Reader) -> list[Row]:
    """Return what is entered, section by section: each with its unit or choices, limit and the shop's own value."""
    fields = asked_of(job.motor)
    limits, left = _limits(job, fields), _left(job)
    rows = [(field.section, _row(field, job.motor, limits, left, reader.units)) for field in fields]
    return [
        {"title": str(title), "rows": [row for section, row in rows if section == name]}
        for name, title in SECTIONS.items()
    ]


def _row(
    field: SiteField,
    motor: Motor,
    limits: Mapping[str, Limit | None],
    left: Mapping[str, Reading],
    units: Units,
) -> Row:
    write = Written(units)
    quantity = field.quantity if field.quantity in QUANTITIES else ""
    limit, reading = limits.get(field.result), left.get(field.result)
    known = _of_plate(field, motor, units) or limit_text(limit, quantity, write)
    return {
        "code": field.code,
        "label": str(field.label),
        "unit": unit_words(write.unit(quantity).name, units) if quantity else "",
        "boxes": [str(word) for _code, word in field.choices],
        "known": known,
        "source": _("nameplate") if not limit and known else source_words(limit.source) if limit else "",
        "limited": limit is not None,
        "unknown": bool(field.result) and not known,
        "left": ShownReading(reading, quantity, units).value if reading else "",
    }


def _of_plate(field: SiteField, motor: Motor, units: Units) -> str:
    """Return what the nameplate says of an entry."""
    keys = {"rotation": "rotation", "oil_top_standing": "oil_level_mark"}
    key = keys.get(field.code)
    return shown(PLATE[key], motor.nameplate.get(key), units) if key else ""


def _limits(job: Job, fields: Iterable[SiteField]) -> dict[str, Limit | None]:
    """Return the limit of each of the shop's results that stands beside an entry, whoever measures."""
    settings, known, now = settings_of(job), read_limits(job), timezone.now()
    tests = dict.fromkeys(TEST_OF[field.result] for field in fields if field.result)
    found: dict[str, Limit | None] = {}
    for test in tests:
        found |= limits_before(job, BY_CODE[test], settings, known, now)
    return found


def _left(job: Job) -> dict[str, Reading]:
    """Return what the shop measured last of each result as the motor left."""
    return {one.asked: one for one in readings.standing_readings(job) if one.asked and one.moment == LEFT}


def _frequencies(job: Job, reader: Reader) -> dict[str, object]:
    """Return how often the parts of each bearing pass at the plate's speed, by the checker's stored answer."""
    record, speed = _built_or_specified(job), job.motor.si("rated_speed_rpm")
    if record is None or record.assessment is None or not isinstance(speed, int | float):
        return {"frequencies": [], "speed": ""}
    orders: dict[str, dict[str, float]] = {}
    for line in record.assessment.answer.get("working", ()):
        if line["topic"] == "passing" and line["ref"] and isinstance(line["value"], int | float):
            orders.setdefault(line["ref"], {})[line["symbol"]] = line["value"]
    names = _names(record.assessment.stack)
    rows = [
        {"bearing": names.get(ref, ref), **{part: plain(value * speed / 60, 4) for part, value in of.items()}}
        for ref, of in orders.items()
    ]  # fmt: skip
    return {"frequencies": rows, "speed": reader.figures.speed(speed), "slip": str(SLIP)}


def _built_or_specified(job: Job) -> StackRecord | None:
    built = stacks.newest(job, Stage.AS_BUILT)
    return built if built is not None and built.is_frozen else current_specified(job)


def _names(stack: Mapping[str, Any]) -> dict[str, str]:
    """Return the bearings of a stored stack by their numbers: 1: designation, manufacturer, mark."""
    parsed = parse_stack(dict(stack))
    named = dict(zip(item_refs(parsed.items), parsed.items, strict=True))
    names = {ref: identity(item) for ref, item in named.items() if isinstance(item, Bearing)}
    names |= {f"g{number}": identity(guide.bearing) for number, guide in enumerate(parsed.guides, 1)}
    return {
        ref: _("{ref}: {name}").format(ref=ref, name=name) if name else ref for ref, name in names.items()
    }
