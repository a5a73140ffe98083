"""Take data away from a stack and see whether a verdict became better than it was.

By hand, over more stacks: .venv/bin/python -m tests.bearings.law.removing --stacks 2000 --seed 1
"""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Iterable
from random import Random

from bearings.engineering.assessment import Assessment, check_stack
from bearings.engineering.quantities import Bearing, Stack, guide_refs, item_refs
from bearings.engineering.settling import with_value
from bearings.stack_file import fields as table
from tests.bearings.law.consistent_stacks import consistent_stack

Field = tuple[str, str | None]
KINDS = ("ranged", "needed")
OUTSIDE_THE_LAW = "entries"


def removable(stack: Stack) -> list[Field]:
    """Return every ranged or needed field that a stack holds."""
    found: list[Field] = []
    rooms = (("motor", stack.motor, table.MOTOR), ("lubrication", stack.lubrication, table.LUBRICATION))
    for room, holder, specs in rooms:
        for name, spec in specs.items():
            if spec.when_unknown in KINDS and not spec.required and getattr(holder, name) is not None:
                found.append((f"{room}.{name}", None))
    for ref, item in zip(item_refs(stack.items), stack.items, strict=True):
        specs = table.BEARING if isinstance(item, Bearing) else table.PART
        found += [
            (name, ref)
            for name, spec in specs.items()
            if spec.when_unknown in KINDS and getattr(item, name) is not None
        ]
    for ref, guide in zip(guide_refs(stack.guides), stack.guides, strict=True):
        found += [
            (name, ref)
            for name, spec in table.BEARING.items()
            if spec.when_unknown in KINDS and getattr(guide.bearing, name) is not None
        ]
        found += [
            (name, ref) for name in ("end_play_um", "radial_load_n") if getattr(guide, name) is not None
        ]
    return found


def without(stack: Stack, fields: Iterable[Field]) -> Stack:
    """Return a stack that no longer says what stands in some fields."""
    for field, ref in fields:
        stack = with_value(stack, field, ref, None)
    return stack


def lost_the_excuse(less: Assessment, taken: Iterable[Field]) -> bool:
    """Whether a set stops because face offsets that excused its bearings are no longer there.

    The one published exception to the law: a bearing made to run alone stops a set, and only an act of the shop, the
    measuring of every face offset, makes a warning of that stop. What is asked for there is no figure with a range
    but the measurement itself, so its absence is no unknown that might be good. The exception is on the safe side:
    a verdict gets worse, never better, and the headline keeps the law.
    """
    stops = {one.code for one in less.findings if one.severity == "stop"}
    return "not-for-pairing" in stops and any(name == "stand_out_um" for name, _ in taken)


def broken(whole: Assessment, less: Assessment, taken: Iterable[Field]) -> list[str]:
    """Return where less data gave another verdict than before or than not proven."""
    taken = tuple(taken)
    found = []
    before = {one.subject: one.verdict for one in whole.subjects}
    for one in less.subjects:
        if one.subject == OUTSIDE_THE_LAW or one.verdict in (before[one.subject], "not_proven"):
            continue
        if one.subject == "set" and one.verdict == "stop" and lost_the_excuse(less, taken):
            continue
        found.append(f"{one.subject}: {before[one.subject]} became {one.verdict}")
    was, now = whole.headline.verdict, less.headline.verdict
    if (now == "ok" and was != "ok") or (now == "warn" and was not in ("ok", "warn")):
        found.append(f"headline: {was} became {now}")
    return found


def try_stack(random: Random, singles: int | None, groups: int) -> list[str]:
    """Remove fields from one random stack, some or all of them singly and some in groups; return what broke."""
    stack = consistent_stack(random)
    whole = check_stack(stack)
    fields = removable(stack)
    chosen = fields if singles is None else random.sample(fields, min(singles, len(fields)))
    tries = [[one] for one in chosen]
    tries += [random.sample(fields, random.randint(2, min(8, len(fields)))) for _ in range(groups)]
    return [
        f"{'; '.join(f'{name} of {ref}' if ref else name for name, ref in one)}: {text}"
        for one in tries
        for text in broken(whole, check_stack(without(stack, one)), one)
    ]


def main() -> None:
    """Try every field of many stacks."""
    parser = ArgumentParser(description=__doc__)
    parser.add_argument("--stacks", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--singles", type=int, default=None)
    arguments = parser.parse_args()
    found: dict[str, int] = {}
    for number in range(arguments.stacks):
        for text in try_stack(Random(f"{arguments.seed} {number}"), arguments.singles, 6):
            found[text] = found.get(text, 0) + 1
    for text, count in sorted(found.items(), key=lambda pair: -pair[1]):
        print(count, text)  # noqa: T201
    print(f"{arguments.stacks} stacks, {sum(found.values())} broken")  # noqa: T201


if __name__ == "__main__":
    main()
