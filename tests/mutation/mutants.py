"""Small wrong changes of a module: each one node, cut out of the source text and put back otherwise.

Lines keep their numbers, so that a changed function can take the place of the loaded one.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

COMPARISONS: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
ARITHMETIC: Final[dict[type[ast.operator], type[ast.operator]]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
TWINS: Final = {"min": "max", "max": "min", "any": "all", "all": "any", "first": "last", "last": "first"}
NARROWING: Final = frozenset({"filter", "exclude", "get"})
# Without these a class or function is no longer what its users call: the first test to import it says so.
DECORATORS_KEPT: Final = frozenset({"dataclass", "property", "staticmethod", "classmethod", "lru_cache"})
TABLE_TEXT: Final = re.compile(r"[-\d./ ]*\d[-\d./ ]*")
# What stands in brackets behind these is read by the type checker alone.
TYPES: Final = frozenset({"Literal", "Callable", "dict", "list", "tuple", "set", "frozenset", "type"})
FIGURE: Final = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")


@dataclass(frozen=True, slots=True)
class Mutant:
    """One wrong change. ``function`` is empty where it lies outside all functions, so that it acts on import."""

    path: str
    function: str
    lines: tuple[int, ...]
    kind: str
    before: str
    after: str
    start: int
    end: int
    text: str
    key: str

    def apply(self, source: str) -> str:
        """Return the module's source with this change."""
        raw = source.encode()
        return (raw[: self.start] + self.text.encode() + raw[self.end :]).decode()


class _Module:
    """A parsed module with what the search for mutants asks of it."""

    def __init__(self, path: str, source: str) -> None:
        self.path, self.source, self.raw = path, source, source.encode()
        self.tree = ast.parse(source)
        self.starts = [0]
        for line in self.raw.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.found: list[Mutant] = []
        self.seen: dict[str, int] = {}

    def span(self, node: ast.AST) -> tuple[int, int]:
        return (
            self.starts[node.lineno - 1] + node.col_offset,  # type: ignore[attr-defined]
            self.starts[node.end_lineno - 1] + node.end_col_offset,  # type: ignore[attr-defined]
        )

    def text(self, node: ast.AST) -> str:
        start, end = self.span(node)
        return self.raw[start:end].decode()

    def add(self, place: _Place, kind: str, span: tuple[int, int], after: str, *, keep: bool = True) -> None:
        start, end = span
        before = self.raw[start:end].decode()
        lost = before.count("\n") - after.count("\n")
        if keep and lost > 0:
            after = f"({after}{chr(10) * lost})"
        told = f"{self.path} {place.function} {kind} {' '.join(before.split())} -> {' '.join(after.split())}"
        nth = self.seen[told] = self.seen.get(told, -1) + 1
        digest = hashlib.sha256(f"{told} {nth} {place.digest}".encode()).hexdigest()[:16]
        lines = tuple(range(place.first, place.last + 1))
        self.found.append(
            Mutant(
                self.path, place.function, lines, kind, before[:120], after[:120], start, end, after, digest
            )
        )


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a node stands: function, lines whose run shows that a test comes by, the text that its key rests on."""

    function: str
    first: int
    last: int
    digest: str


def mutants_of(path: str, source: str) -> list[Mutant]:
    """Return every mutant of a module, in the order of its lines."""
    module = _Module(path, source)
    _walk(module, module.tree, _Place("", 0, 0, ""))
    return sorted(module.found, key=lambda one: (one.start, one.kind, one.text))


def _walk(module: _Module, node: ast.AST, place: _Place) -> None:
    for child in ast.iter_child_nodes(node):
        _visit(module, node, child, place)


def _visit(module: _Module, parent: ast.AST, node: ast.AST, place: _Place) -> None:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        _function(module, node, place)
        return
    if isinstance(node, ast.ClassDef):
        for decorator in node.decorator_list:
            _decorator(module, decorator, _Place("", node.lineno, node.lineno, module.text(node)[:200]))
        inside = f"{place.function}.{node.name}" if place.function else ""
        for statement in node.body:
            if not (isinstance(statement, ast.Assign) and isinstance(statement.value, ast.Tuple)):
                # A choice with its label is words.
                _visit(module, node, statement, _Place(inside, 0, 0, place.digest))
        return
    if isinstance(node, ast.JoinedStr | ast.Import | ast.ImportFrom) or _gives_names(node):
        return
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return  # a docstring
    if isinstance(node, ast.stmt):
        head = node.body[0].lineno - 1 if hasattr(node, "body") and node.body else node.end_lineno
        last = max(node.lineno, head or node.lineno)
        digest = place.digest or " ".join(module.text(node).split())
        place = _Place(place.function, node.lineno, last, digest)
    for kind, target, after in _changes(module, parent, node, place):
        span = target if isinstance(target, tuple) else module.span(target)
        module.add(place, kind, span, after, keep=kind not in {"statement", "element", "figure in a text"})
    if isinstance(node, ast.AnnAssign):
        if node.value is not None:
            _visit(module, node, node.value, place)
        return
    if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id in TYPES:
        return
    _walk(module, node, place)


def _gives_names(node: ast.AST) -> bool:
    """Whether a statement is ``__all__``, which no import by name reads."""
    targets = node.targets if isinstance(node, ast.Assign) else ()
    return any(isinstance(one, ast.Name) and one.id == "__all__" for one in targets)


def _function(module: _Module, node: ast.FunctionDef | ast.AsyncFunctionDef, place: _Place) -> None:
    for decorator in node.decorator_list:
        _decorator(module, decorator, _Place("", node.lineno, node.lineno, module.text(node)[:200]))
    outside = _Place("", node.lineno, node.lineno, module.text(node)[:200])
    for default in (*node.args.defaults, *(one for one in node.args.kw_defaults if one is not None)):
        _visit(module, node, default, outside)
    name = f"{place.function}.{node.name}" if place.function else node.name
    digest = hashlib.sha256(" ".join(_code(module, node).split()).encode()).hexdigest()
    returns = "" if node.returns is None else ast.unparse(node.returns)
    for statement in node.body:
        _visit(module, node, statement, _Place(name, 0, 0, digest))
        for one in _own_nodes(statement):
            if isinstance(one, ast.Return):
                _return(module, one, returns, _Place(name, one.lineno, one.end_lineno or one.lineno, digest))


def _code(module: _Module, node: ast.FunctionDef | ast.AsyncFunctionDef) -> str:
    """Return a function's text without its docstring: other words there are no other code."""
    first = node.body[0]
    if not (isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and len(node.body) > 1):
        return module.text(node)
    start, end = module.span(node)
    told, after = module.span(first)
    return (module.raw[start:told] + module.raw[after:end]).decode()


def _own_nodes(node: ast.AST) -> Iterator[ast.AST]:
    """Walk a statement without the functions inside it."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda | ast.ClassDef):
        return
    yield node
    for child in ast.iter_child_nodes(node):
        yield from _own_nodes(child)


def _decorator(module: _Module, node: ast.expr, place: _Place) -> None:
    called = node.func if isinstance(node, ast.Call) else node
    name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
    if name in DECORATORS_KEPT or name in {"setter", "register", "fixture"}:
        return
    start, end = module.span(node)
    blank = "\n" * module.raw[start:end].count(b"\n")
    module.add(place, "decorator dropped", (start - 1, end), blank, keep=False)


def _return(module: _Module, node: ast.Return, returns: str, place: _Place) -> None:
    if node.value is None:
        return
    if isinstance(node.value, ast.Constant) and (
        node.value.value is None or isinstance(node.value.value, bool)
    ):
        return
    empty = {"bool": ("True", "False"), "str": ('""',), "int": ("0",)}.get(returns)
    if empty is None:
        head = returns.split("[")[0]
        empty = {"list": ("[]",), "tuple": ("()",), "set": ("set()",), "dict": ("{}",)}.get(head, ("None",))
    for after in empty:
        if module.text(node.value) != after:
            module.add(place, "return", module.span(node.value), after)


Change = tuple[str, ast.AST | tuple[int, int], str]


def _changes(module: _Module, parent: ast.AST, node: ast.AST, place: _Place) -> Iterator[Change]:
    """Give what, where and the new text of each change of one node."""
    if isinstance(node, ast.Compare):
        for at, operator in enumerate(node.ops):
            ops = [*node.ops]
            ops[at] = COMPARISONS[type(operator)]()
            yield "comparison", node, f"({ast.unparse(ast.Compare(node.left, ops, node.comparators))})"
    elif isinstance(node, ast.BoolOp):
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield "and/or", node, f"({ast.unparse(ast.BoolOp(other, node.values))})"
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not removed", node, f"({ast.unparse(node.operand)})"
    elif isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC:
        if not isinstance(node.left, ast.JoinedStr):
            changed = ast.BinOp(node.left, ARITHMETIC[type(node.op)](), node.right)
            yield "arithmetic", node, f"({ast.unparse(changed)})"
    elif isinstance(node, ast.Constant):
        yield from _constant(module, parent, node, place)
    elif isinstance(node, ast.IfExp):
        yield "branches swapped", node, f"({ast.unparse(ast.IfExp(node.test, node.orelse, node.body))})"
    elif isinstance(node, ast.Call):
        yield from _call(module, node)
    elif isinstance(node, ast.comprehension):
        for condition in node.ifs:
            yield "condition of a list", condition, "True"
    elif isinstance(node, ast.Raise | ast.If | ast.Expr | ast.AugAssign):
        yield from _statement(module, node)
    elif isinstance(node, ast.Tuple | ast.List | ast.Set | ast.Dict) and not place.function:
        yield from _table(module, node)


def _constant(module: _Module, parent: ast.AST, node: ast.Constant, place: _Place) -> Iterator[Change]:
    value = node.value
    if isinstance(value, bool):
        yield "flag", node, str(not value)
    elif isinstance(value, int | float) and not isinstance(parent, ast.Subscript):
        text = module.text(node)
        digits = [at for at, letter in enumerate(text) if letter.isdigit() and "e" not in text[:at]]
        for at in (digits[0], digits[-1]) if len(digits) > 1 else digits:
            yield "figure", node, text[:at] + str((int(text[at]) + 1) % 10 or 1) + text[at + 1 :]
    elif isinstance(value, str) and not place.function and TABLE_TEXT.fullmatch(value):
        yield from _figures_in_text(module, node)


def _figures_in_text(module: _Module, node: ast.Constant) -> Iterator[Change]:
    """A table that is kept as text, one change for each of its figures."""
    start, _end = module.span(node)
    text = module.text(node)
    for found in FIGURE.finditer(text):
        figure = found.group()
        changed = figure[:-1] + str((int(figure[-1]) + 1) % 10)
        at = start + len(text[: found.start()].encode())
        yield "figure in a text", (at, at + len(figure)), changed


def _call(module: _Module, node: ast.Call) -> Iterator[Change]:
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if name in TWINS:
        if isinstance(node.func, ast.Attribute):
            changed: ast.expr = ast.Attribute(node.func.value, TWINS[name], ast.Load())
        else:
            changed = ast.Name(TWINS[name], ast.Load())
        yield "twin", node, f"({ast.unparse(ast.Call(changed, node.args, node.keywords))})"
    if name in NARROWING and isinstance(node.func, ast.Attribute) and node.keywords:
        for at in range(len(node.keywords)):
            kept = [*node.keywords[:at], *node.keywords[at + 1 :]]
            if not kept and not node.args and name == "get":
                continue
            whole = ast.Call(node.func, node.args, kept) if kept or node.args else node.func.value
            yield "filter dropped", node, f"({ast.unparse(whole)})"


def _statement(module: _Module, node: ast.Raise | ast.If | ast.Expr | ast.AugAssign) -> Iterator[Change]:
    start, end = module.span(node)
    lines = module.raw[start:end].count(b"\n")
    column = " " * node.col_offset
    if isinstance(node, ast.Raise) or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)):
        yield "statement", (start, end), "pass" + f"\n{column}pass" * lines
    elif isinstance(node, ast.AugAssign) and type(node.op) in ARITHMETIC:
        changed = ast.AugAssign(node.target, ARITHMETIC[type(node.op)](), node.value)
        yield "statement", (start, end), ast.unparse(changed) + f"\n{column}pass" * lines
    elif isinstance(node, ast.If):
        leaves = isinstance(node.body[0], ast.Return | ast.Raise | ast.Continue | ast.Break)
        yield "guard removed" if leaves else "condition", node.test, "(False)"
        if not leaves:
            yield "condition", node.test, "(True)"


def _table(module: _Module, node: ast.Tuple | ast.List | ast.Set | ast.Dict) -> Iterator[Change]:
    """Drop one element of what a module lists."""
    if isinstance(node, ast.Dict):
        for key, value in zip(node.keys, node.values, strict=True):
            start, end = module.span(value)
            start = module.span(key)[0] if key is not None else start - 2
            yield "element", *_without(module, start, end)
        return
    if len(node.elts) < (2 if isinstance(node, ast.Set) else 1):
        return
    for one in node.elts:
        if isinstance(one, ast.Constant) and isinstance(one.value, int | float):
            continue
        yield "element", *_without(module, *module.span(one))


def _without(module: _Module, start: int, end: int) -> tuple[tuple[int, int], str]:
    """Return the span of an element with the comma behind it, and as many lines as it had."""
    comma = re.match(rb"\)*\s*,", module.raw[end:])
    if comma and not comma.group().startswith(b")"):
        end += comma.end()
    return (start, end), "\n" * module.raw[start:end].count(b"\n")
