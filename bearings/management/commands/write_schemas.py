"""Write the published JSON Schemas anew from the field table."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from django.core.management.base import BaseCommand

from bearings.stack_file.schema import answer_schema, stack_file_schema

FOLDER: Final = Path(__file__).resolve().parents[2] / "schema"
SCHEMAS: Final = {
    "stack_file.schema.json": stack_file_schema,
    "answer.schema.json": answer_schema,
}


def schema_text(name: str) -> str:
    """Return the text of one published schema."""
    return json.dumps(SCHEMAS[name](), indent=2, ensure_ascii=False) + "\n"


class Command(BaseCommand):
    """write_schemas: no arguments."""

    help = "Write the JSON Schemas of stack file and answer."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        """Write both files."""
        for name in SCHEMAS:
            (FOLDER / name).write_text(schema_text(name), encoding="utf-8")
            self.stdout.write(name)
