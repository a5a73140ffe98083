"""From JSON values to a stack, or to everything that is wrong with them at once."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum
from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.load_gaps import RATED_SPEED
from bearings.engineering.quantities import (
    ONE_WAY_TYPES,
    Assembly,
    Bearing,
    DutyPoint,
    Guide,
    Item,
    Lubrication,
    MotorDuty,
    Part,
    Policy,
    SetFactors,
    Stack,
)
from bearings.stack_file import fields as table
from bearings.stack_file import specs as limit
from bearings.stack_file.file_reader import FileReader
from bearings.stack_file.mistakes import Mistake, StackFileError, accepted, mistake
from bearings.stack_file.specs import FieldSpec
from bearings.stack_file.text import WHOLE_FILE, read_json
from bearings.stack_file.values import Value, check_value
from bearings.wording.figures import plain

MOST_GUIDES: Final = limit.MOST_ITEMS
LATEST: Final = max(table.VERSIONS)
Values = dict[str, Value]


class StackReader(FileReader):
    """Reads one stack file."""

    def __init__(self, version: int = LATEST, may_lack: tuple[str, ...] = ()) -> None:
        super().__init__()
        self.version, self.may_lack = version, may_lack

    def fields(self, path: str, found: dict[str, object], specs: dict[str, FieldSpec]) -> Values:
        """Return the acceptable values of an object's plain fields; null counts as absent."""
        values: Values = {}
        for name, spec in specs.items():
            raw = found.get(name)
            if spec.since > self.version and name in found:
                message = _('This field belongs to version %(since)d. Accepted: "stack_file": %(since)d.')
                below = f"{path}.{name}" if path else name
                self.refuse(below, raw, message % {"since": spec.since})
                continue
            if spec.kind == "list" or (raw is None and not spec.required):
                continue
            below = f"{path}.{name}" if path else name
            if raw is None and below in self.may_lack:
                values[name] = None
                continue
            if raw is None:
                self.refuse(below, None, _missing(spec))
                continue
            value, wrong = check_value(spec, raw)
            if wrong is not None:
                self.refuse(below, raw, wrong)
            else:
                values[name] = value
        return values

    def room(self, path: str, value: object, specs: dict[str, FieldSpec]) -> Values:
        """Return the acceptable values of an object that has plain fields only."""
        return self.fields(path, self.members(path, value, tuple(specs)), specs)

    def item(self, path: str, value: object) -> Item | None:
        """Return one item of the stack, or nothing when it has a mistake."""
        if not isinstance(value, dict):
            self.refuse(path, value, _("Not an object. Accepted: an object in braces."))
            return None
        kind, wrong = check_value(table.KIND, value.get("kind"))
        if kind is None:
            reason = wrong or _missing(table.KIND)
            self.refuse(f"{path}.kind", value.get("kind"), reason)
            self._fields_of_any_kind(path, value)
            return None
        if kind == "bearing":
            return self.bearing(path, value, table.BEARING)
        before = len(self.mistakes)
        found = self.members(path, value, ("kind", *table.PART))
        values = self.fields(path, found, table.PART)
        return Part(kind=kind, **values) if len(self.mistakes) == before else None  # type: ignore[arg-type]

    def _fields_of_any_kind(self, path: str, value: dict[str, object]) -> None:
        """Gather the mistakes of an item whose kind is not known."""
        specs = table.BEARING | table.PART
        found = self.members(path, value, ("kind", *specs))
        self.fields(path, found, {name: specs[name] for name in found if name in specs and name != "type"})

    def bearing(self, path: str, value: object, specs: dict[str, FieldSpec]) -> Bearing | None:
        """Return the bearing of an item or guide, or nothing when it has a mistake."""
        before = len(self.mistakes)
        found = self.members(path, value, ("kind", *specs))
        values = self.fields(path, found, table.BEARING)
        self._face(path, found, values)
        self._angle(path, values)
        bore, outside = values.get("bore_mm"), values.get("outside_diameter_mm")
        if isinstance(bore, float) and isinstance(outside, float) and outside <= bore:
            message = _("Enter an outside diameter above the bore. Accepted: more than %(bore)s mm.")
            self.refuse(f"{path}.outside_diameter_mm", outside, message % {"bore": plain(bore)})
        return Bearing(**values) if len(self.mistakes) == before else None  # type: ignore[arg-type]

    def _face(self, path: str, found: dict[str, object], values: Values) -> None:
        kind, face = values.get("type"), found.get("wide_face")
        if kind is None:
            return
        one_way = kind in ONE_WAY_TYPES
        spec = table.BEARING["wide_face"]
        if one_way and face is None and self.version == 1:
            message = _("This type carries thrust one way only. Enter which way the wide face points.")
            self.refuse(f"{path}.wide_face", None, f"{message} {accepted(spec)}")
        if not one_way and face is not None:
            message = _("This type has no wide face. Remove the field.")
            self.refuse(f"{path}.wide_face", face, message)

    def _angle(self, path: str, values: Values) -> None:
        angle = values.get("contact_angle_deg")
        low, high = table.CONTACT_ANGLE_DEG
        if values.get("type") != "angular_contact_ball" or not isinstance(angle, float):
            return
        if not low <= angle <= high:
            message = _("Contact angle is out of range. Accepted: %(low)s to %(high)s degrees.")
            self.refuse(
                f"{path}.contact_angle_deg", angle, message % {"low": plain(low), "high": plain(high)}
            )

    def guide(self, path: str, value: object) -> Guide | None:
        """Return one guide, or nothing when it has a mistake."""
        if not isinstance(value, dict):
            self.refuse(path, value, _("Not an object. Accepted: an object in braces."))
            return None
        before = len(self.mistakes)
        if value.get("kind") not in (None, "bearing"):
            self.refuse(
                f"{path}.kind", value["kind"], _('A guide must be a bearing. Accepted: "bearing" or no kind.')
            )
        one = self.bearing(path, value, table.GUIDE)
        own = {name: table.GUIDE[name] for name in table.OF_GUIDE}
        values = self.fields(path, value, own)
        if one is None or len(self.mistakes) > before:
            return None
        return Guide(bearing=one, **values)  # type: ignore[arg-type]

    def motor(self, value: object) -> MotorDuty | None:
        """Return the motor's duty, or nothing when it has a mistake."""
        before = len(self.mistakes)
        found = self.members("motor", value, tuple(table.MOTOR))
        values = self.fields("motor", found, table.MOTOR)
        points = self.duty(found.get("duty"))
        self._drive(values)
        return MotorDuty(duty=points, **values) if len(self.mistakes) == before else None  # type: ignore[arg-type]

    def _drive(self, values: Values) -> None:
        """Refuse the speeds of a drive beside the word that there is none."""
        if values.get("fixed_speed") is not True:
            return
        for name in ("minimum_speed_rpm", "maximum_speed_rpm"):
            if name in values:
                message = _("An across-the-line motor has no drive speed. Remove one of the two fields.")
                self.refuse(f"motor.{name}", values[name], message)

    def duty(self, value: object) -> tuple[DutyPoint, ...] | None:
        """Return the parts of a duty, or nothing when there are none or one has a mistake."""
        if value is None:
            return None
        before = len(self.mistakes)
        points = []
        for place, one in enumerate(self.entries("motor.duty", value, limit.MOST_DUTY_POINTS)):
            path = f"motor.duty[{place}]"
            if one is None:
                self.refuse(path, one, _("Not an object. Accepted: an object in braces."))
                continue
            read = self.room(path, one, table.DUTY_POINT)
            if len(self.mistakes) == before:
                points.append(DutyPoint(**read))  # type: ignore[arg-type]
        total = fsum(one.share for one in points)
        if len(self.mistakes) == before and abs(total - 1) > limit.SHARE_TOLERANCE * (1 + 1e-9):
            message = _("Shares add up to %(total)s. Accepted: shares that add up to 1 within %(near)s.")
            words = {"total": plain(total, 6), "near": plain(limit.SHARE_TOLERANCE)}
            self.refuse("motor.duty", words["total"], message % words)
        return tuple(points)

    def policy(self, value: object) -> Policy | None:
        """Return the shop's limits with the file's overrides, or nothing when there is a mistake."""
        before = len(self.mistakes)
        found = self.members("policy", value, (*table.POLICY, "set_factors"))
        values = self.fields("policy", found, table.POLICY)
        factors = self.room("policy.set_factors", found.get("set_factors"), table.SET_FACTORS)
        if len(self.mistakes) > before:
            return None
        return Policy(set_factors=SetFactors(**factors), **values)  # type: ignore[arg-type]

    def stack(self, value: object) -> Stack:
        """Return the whole stack; raise :class:`StackFileError` with every mistake."""
        if not isinstance(value, dict):
            message = _('Not a stack file. Accepted: an object that begins with "stack_file": 2 (or 1).')
            raise StackFileError((mistake(WHOLE_FILE, value, message),))
        found = self.members("", value, table.TOP_FIELDS)
        version = found.get("stack_file")
        if isinstance(version, bool) or not isinstance(version, int) or version not in table.VERSIONS:
            self.refuse("stack_file", version, _("Unknown version. Accepted: 1 or 2."))
        else:
            self.version = version
        motor = self.motor(found.get("motor"))
        oil = self.room("lubrication", found.get("lubrication"), table.LUBRICATION)
        policy = self.policy(found.get("policy"))
        standing = self.assembly(found)
        if self.mistakes or policy is None or motor is None:
            raise StackFileError(tuple(self.mistakes))
        return Stack(
            motor=motor,
            lubrication=Lubrication(**oil),  # type: ignore[arg-type]
            policy=policy,
            items=standing.items,
            guides=standing.guides,
        )

    def assembly(self, found: Mapping[str, object]) -> Assembly:
        """Return items and guides, without those that have a mistake."""
        raw = found.get("items")
        items = [
            self.item(f"items[{place}]", one)
            for place, one in enumerate(self.entries("items", raw, limit.MOST_ITEMS))
        ]
        if raw is None or raw == []:
            self.refuse("items", raw, _("Stack is empty. Accepted: 1 to %d items.") % limit.MOST_ITEMS)
        guides = [
            self.guide(f"guides[{place}]", one)
            for place, one in enumerate(self.entries("guides", found.get("guides"), MOST_GUIDES))
        ]
        return Assembly(
            items=tuple(one for one in items if one is not None),
            guides=tuple(one for one in guides if one is not None),
        )


def _missing(spec: FieldSpec) -> str:
    return _("Required. %(accepted)s") % {"accepted": accepted(spec)}


def parse_stack(source: bytes | str | dict[str, object]) -> Stack:
    """Return the stack of a file's bytes, text or values; raise :class:`StackFileError` when refused."""
    if isinstance(source, str):
        source = source.encode("utf-8", "surrogatepass")
    values = read_json(source) if isinstance(source, bytes) else source
    return StackReader().stack(values)


def parse_without_speed(values: dict[str, object]) -> Stack:
    """Return the stack of a file's values that may lack the rated speed; raise :class:`StackFileError` when refused."""
    return StackReader(may_lack=(RATED_SPEED.field,)).stack(values)


def parse_assembly(items: list[object], guides: list[object]) -> Assembly:
    """Return what stands on the shaft, without a motor; raise :class:`StackFileError` when refused."""
    reader = StackReader()
    standing = reader.assembly({"items": items, "guides": guides})
    if reader.mistakes:
        raise StackFileError(tuple(reader.mistakes))
    return standing


def parse_item(values: dict[str, object], path: str = "item") -> tuple[Item | None, tuple[Mistake, ...]]:
    """Return one item from its values and the mistakes in them, for a form that holds one item."""
    reader = StackReader()
    item = reader.item(path, values)
    return item, tuple(reader.mistakes)


def parse_guide(values: dict[str, object], path: str = "guide") -> tuple[Guide | None, tuple[Mistake, ...]]:
    """Return one guide from its values and the mistakes in them."""
    reader = StackReader()
    guide = reader.guide(path, values)
    return guide, tuple(reader.mistakes)
