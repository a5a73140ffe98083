"""Queries that are put together once and asked often.

To build a query set and turn it into SQL costs several times what the database needs to answer it by a key. A page that
asks many of them keeps their SQL and hands in the key only. Rows are converted exactly as the query set would do it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from django.db import connection
from django.db.models import QuerySet

# Stands for the key while the query is put together; no row has it.
KEY: Final = -918_273_645
TEXT_KEY: Final = "\ue0f0key"


@dataclass(frozen=True, slots=True)
class _Prepared:
    sql: str
    parameters: tuple[Any, ...]
    # place in the row, what to call one after the other, and the expression that they ask for
    converters: tuple[tuple[int, tuple[Callable[..., Any], ...], Any], ...]


class PreparedRows:
    """A ``values_list`` query by one key; ``build`` makes it once for each kind of database."""

    def __init__(self, build: Callable[[Any], QuerySet[Any, Any]], placeholder: Any = KEY) -> None:
        self.build, self.placeholder = build, placeholder
        self.kept: dict[str, _Prepared] = {}

    def rows(self, key: Any) -> list[tuple[Any, ...]]:
        """Return the rows of a key, in one query."""
        prepared = self.kept.get(connection.vendor) or self._prepare()
        own = tuple(key if parameter == self.placeholder else parameter for parameter in prepared.parameters)
        with connection.cursor() as cursor:
            cursor.execute(prepared.sql, own)
            found = cursor.fetchall()
        return [self._converted(row, prepared) for row in found] if prepared.converters else list(found)

    def _converted(self, row: Sequence[Any], prepared: _Prepared) -> tuple[Any, ...]:
        values = list(row)
        for place, converters, expression in prepared.converters:
            for convert in converters:
                values[place] = convert(values[place], expression, connection)
        return tuple(values)

    def _prepare(self) -> _Prepared:
        compiler: Any = self.build(self.placeholder).query.get_compiler(connection=connection)
        sql, parameters = compiler.as_sql()
        if self.placeholder not in parameters:
            raise TypeError("A prepared query asks by its key.")
        found = compiler.get_converters([column[0] for column in compiler.select[: compiler.col_count]])
        converters = tuple((place, tuple(calls), expression) for place, (calls, expression) in found.items())
        prepared = _Prepared(sql, tuple(parameters), converters)
        self.kept[connection.vendor] = prepared
        return prepared
