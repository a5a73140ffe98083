"""Write the published JSON Schemas of readings file and answer anew from the shop tests."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from django.core.management.base import BaseCommand
from django.utils.translation import override

from repairs.measurements.readings_file.schema import readings_answer_schema, readings_file_schema

FOLDER: Final = Path(__file__).resolve().parents[2] / "measurements" / "schema"
SCHEMAS: Final = {
    "readings_file.schema.json": readings_file_schema,
    "readings_answer.schema.json": readings_answer_schema,
}


def schema_text(name: str) -> str:
    """Return the text of one published schema, in the language of the code."""
    with override("en"):
        return json.dumps(SCHEMAS[name](), indent=1, ensure_ascii=False) + "\n"


class Command(BaseCommand):
    """write_readings_schemas: no arguments."""

    help = "Write the JSON Schemas of readings file and answer."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        """Write both files."""
        for name in SCHEMAS:
            (FOLDER / name).write_text(schema_text(name), encoding="utf-8")
            self.stdout.write(name)
