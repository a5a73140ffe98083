"""What the schemas of an answer are made of."""

from __future__ import annotations

from typing import Final

Schema = dict[str, object]
NUMBER: Final[Schema] = {"type": "number"}
MAYBE: Final[Schema] = {"type": ["number", "null"]}
TEXT: Final[Schema] = {"type": "string"}
REF: Final[Schema] = {
    "type": "string",
    "description": "bearings 1, 2, ...; parts a, b, ...; guides g1, g2, ...",
}
MAYBE_REF: Final[Schema] = {"type": ["string", "null"]}
FLAG: Final[Schema] = {"type": "boolean"}
MAYBE_FLAG: Final[Schema] = {"type": ["boolean", "null"]}
CASE_NAMES: Final = (
    "running", "uncoupled", "up_thrust", "maximum", "minimum_speed", "maximum_speed", "reverse",
)  # fmt: skip


def row_schema(**properties: Schema) -> Schema:
    """Return the schema of an object that has exactly these members."""
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def rows_schema(**properties: Schema) -> Schema:
    """Return the schema of a list of such objects."""
    return {"type": "array", "items": row_schema(**properties)}


def words_schema(*choices: str | None) -> Schema:
    """Return the schema of one of several words."""
    return {"enum": list(choices)}


def maybe(schema: Schema, words: str = "") -> Schema:
    """Return the schema of an object that may be null."""
    described: Schema = {"description": words} if words else {}
    return schema | described | {"type": [schema["type"], "null"]}


def told(schema: Schema, words: str) -> Schema:
    """Return a schema with a description."""
    return schema | {"description": words}
