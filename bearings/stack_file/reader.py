"""Read a stack file: bytes or a mapping in, a stack out, or every mistake at once."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any, Final

from bearings.engineering.quantities import (
    Bearing,
    Guide,
    Item,
    Lubrication,
    MotorDuty,
    Part,
    Policy,
    SetFactors,
    Stack,
)
from bearings.stack_file import fields as f
from bearings.stack_file.errors import Mistake, StackFileError
from bearings.stack_file.values import check_value

_MISSING: Final = object()


class _Repeated(list[Any]):
    """Keys that stand more than once, gathered while the text is read."""


def read_bytes(content: bytes) -> Stack:
    """Return the stack that a file's bytes describe.

    Raises StackFileError for bytes that are too many, not UTF-8, not JSON, nested too deep or with a
    repeated key, and for every mistake of :func:`read_stack`.
    """
    if len(content) > f.MAX_BYTES:
        _refuse("file", f"{len(content)} bytes", f"at most {f.MAX_BYTES} bytes (1 MiB) are accepted")
    if content.startswith(b"\xef\xbb\xbf"):
        _refuse("file", "byte-order mark", "UTF-8 without a byte-order mark is accepted; save the file without it")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        _refuse("file", f"byte {error.start}", "the file is not UTF-8; save it as UTF-8")
    if _depth(text) > f.MAX_DEPTH:
        _refuse("file", f"more than {f.MAX_DEPTH} levels", f"JSON nested at most {f.MAX_DEPTH} levels is accepted")
    repeated = _Repeated()
    try:
        data = json.loads(text, object_pairs_hook=_pairs_into(repeated))
    except (ValueError, RecursionError) as error:
        _refuse("file", None, f"this is not JSON: {error}")
    mistakes = [
        Mistake(field=key, value=key, message="this key stands more than once in one object; keep one")
        for key in repeated
    ]
    return read_stack(data, mistakes)


def _depth(text: str) -> int:
    """Return how deep brackets nest outside of strings, without building anything."""
    deepest = depth = 0
    in_string = escaped = False
    for character in text:
        if in_string:
            if escaped:
                escaped = False
            elif character == "\\":
                escaped = True
            elif character == '"':
                in_string = False
        elif character == '"':
            in_string = True
        elif character in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif character in "]}":
            depth -= 1
    return deepest


def _pairs_into(repeated: _Repeated) -> Callable[[list[tuple[str, Any]]], dict[str, Any]]:
    def gather(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key, value in pairs:
            if key in result and key not in repeated:
                repeated.append(key)
            result[key] = value
        return result

    return gather


def _refuse(field: str, value: Any, message: str) -> Any:
    raise StackFileError([Mistake(field=field, value=value, message=message)])


def read_stack(data: Any, mistakes: list[Mistake] | None = None) -> Stack:
    """Return the stack that a mapping describes, or raise StackFileError with every mistake."""
    found: list[Mistake] = list(mistakes or [])
    if not isinstance(data, Mapping):
        _refuse("file", data, "an object with stack_file, motor and items is accepted")
    _unknown_names(data, f.ROOT, "", found)
    version = data.get("stack_file")
    if version != 1 or isinstance(version, bool) or isinstance(version, float):
        found.append(Mistake(field="stack_file", value=version, message="the number 1 is required"))
    motor = _room(data, "motor", f.MOTOR, found)
    if data.get("motor") is None:
        found.append(Mistake(field="motor", value=None, message="an object with rated_speed_rpm is required"))
    elif isinstance(data["motor"], Mapping) and data["motor"].get("rated_speed_rpm") is None:
        accepted = f.MOTOR["rated_speed_rpm"].accepted()
        found.append(Mistake(field="motor.rated_speed_rpm", value=None, message=f"required: {accepted}"))
    oil = _room(data, "lubrication", f.LUBRICATION, found)
    policy = _policy(data, found)
    items = _list_of(data, "items", found, _item)
    if data.get("items") is None:
        found.append(Mistake(field="items", value=None, message="a list of 1 to 20 items is required"))
    elif isinstance(data["items"], list) and not data["items"]:
        found.append(Mistake(field="items", value=[], message="the stack is empty; 1 to 20 items are accepted"))
    guides = _list_of(data, "guides", found, _guide)
    if found:
        raise StackFileError(found)
    return Stack(
        motor=MotorDuty(**motor),
        lubrication=Lubrication(**oil),
        policy=policy,
        items=tuple(items),
        guides=tuple(guides),
    )


def read_item(data: Mapping[str, Any], path: str = "item") -> tuple[Item | None, list[Mistake]]:
    """Return one item and its mistakes; for forms that take an item at a time."""
    found: list[Mistake] = []
    item = _item(data, path, found)
    return (None if found else item), found


def _unknown_names(data: Mapping[Any, Any], known: Any, path: str, found: list[Mistake]) -> None:
    for name in data:
        if name in known:
            continue
        near = get_close_matches(str(name), list(known), n=1, cutoff=0.5)
        hint = f"; did you mean {near[0]}?" if near else f"; known fields: {', '.join(known)}"
        found.append(Mistake(field=f"{path}{name}", value=data[name], message=f"this field is not known{hint}"))


def _room(data: Mapping[str, Any], name: str, specs: dict[str, f.FieldSpec], found: list[Mistake]) -> dict[str, Any]:
    room = data.get(name)
    if room is None:
        return {}
    if not isinstance(room, Mapping):
        found.append(Mistake(field=name, value=room, message="an object is accepted"))
        return {}
    return _fields(room, specs, f"{name}.", found)


def _fields(
    data: Mapping[str, Any], specs: dict[str, f.FieldSpec], path: str, found: list[Mistake], extra: tuple[str, ...] = ()
) -> dict[str, Any]:
    _unknown_names(data, [*extra, *specs], path, found)
    values = {}
    for name, spec in specs.items():
        value = data.get(name)
        if value is None:
            continue
        problem, kept = check_value(spec, value)
        if problem:
            found.append(Mistake(field=f"{path}{name}", value=value, message=problem))
        else:
            values[name] = kept
    return values


def _policy(data: Mapping[str, Any], found: list[Mistake]) -> Policy:
    room = data.get("policy")
    if room is None:
        return Policy()
    if not isinstance(room, Mapping):
        found.append(Mistake(field="policy", value=room, message="an object is accepted"))
        return Policy()
    values = _fields(room, f.POLICY, "policy.", found, extra=("set_factors",))
    factors = _room(room, "set_factors", f.SET_FACTORS, inner := [])
    found.extend(Mistake(field=f"policy.{m.field}", value=m.value, message=m.message) for m in inner)
    return Policy(**values, set_factors=SetFactors(**factors))


def _list_of(data: Mapping[str, Any], name: str, found: list[Mistake], read: Callable[..., Any]) -> list[Any]:
    entries = data.get(name)
    if entries is None:
        return []
    if not isinstance(entries, list):
        found.append(Mistake(field=name, value=entries, message="a list is accepted"))
        return []
    if len(entries) > f.MAX_ITEMS:
        text = f"at most {f.MAX_ITEMS} are accepted"
        found.append(Mistake(field=name, value=f"{len(entries)} entries", message=text))
        return []
    return [read(entry, f"{name}[{index}]", found) for index, entry in enumerate(entries)]


def _item(data: Any, path: str, found: list[Mistake]) -> Item | None:
    if not isinstance(data, Mapping):
        found.append(Mistake(field=path, value=data, message="an object with kind is accepted"))
        return None
    problem, kind = check_value(f.KIND, data.get("kind"))
    if problem:
        found.append(Mistake(field=f"{path}.kind", value=data.get("kind"), message=problem))
        return None
    if kind == "bearing":
        return _bearing(data, path, found, ("kind",))
    before = len(found)
    values = _fields(data, f.PART, f"{path}.", found, extra=("kind",))
    return Part(kind=kind, **values) if len(found) == before else None


def _bearing(data: Mapping[str, Any], path: str, found: list[Mistake], extra: tuple[str, ...]) -> Bearing | None:
    before = len(found)
    values = _fields(data, f.BEARING, f"{path}.", found, extra=extra)
    if data.get("type") is None:
        found.append(Mistake(field=f"{path}.type", value=None, message=f"required: {f.BEARING['type'].accepted()}"))
    _check_face(data, values, path, found, required="carries" not in extra)
    _check_sizes(values, path, found)
    return Bearing(**values) if len(found) == before else None


def _check_face(
    data: Mapping[str, Any], values: dict[str, Any], path: str, found: list[Mistake], *, required: bool
) -> None:
    """One-way bearings must say how they look; for the others the question has no meaning."""
    kind, face = values.get("type"), data.get("wide_face")
    if kind in f.ONE_WAY and face is None and required:
        found.append(Mistake(field=f"{path}.wide_face", value=None, message=f'required for {kind}: "up" or "down"'))
    elif kind is not None and kind not in f.ONE_WAY and face is not None:
        text = f"a {kind} bearing has no wide face; leave this field out"
        found.append(Mistake(field=f"{path}.wide_face", value=face, message=text))


def _check_sizes(values: dict[str, Any], path: str, found: list[Mistake]) -> None:
    bore, outside = values.get("bore_mm"), values.get("outside_diameter_mm")
    if bore is not None and outside is not None and outside <= bore:
        text = f"the outside diameter must be above the bore ({bore:g} mm)"
        found.append(Mistake(field=f"{path}.outside_diameter_mm", value=outside, message=text))


def _guide(data: Any, path: str, found: list[Mistake]) -> Guide | None:
    if not isinstance(data, Mapping):
        found.append(Mistake(field=path, value=data, message="an object with type is accepted"))
        return None
    before = len(found)
    own = {}
    for name in ("carries", "end_play_um"):
        if (value := data.get(name)) is not None:
            problem, own[name] = check_value(f.GUIDE[name], value)
            if problem:
                found.append(Mistake(field=f"{path}.{name}", value=value, message=problem))
    bearing = _bearing(data, path, found, ("carries", "end_play_um"))
    return Guide(bearing=bearing, **own) if bearing is not None and len(found) == before else None
