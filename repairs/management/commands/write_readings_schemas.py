"""Write what is published of readings files anew from the shop tests: schemas, and the answers of the examples."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from django.core.management.base import BaseCommand
from django.utils.translation import override

from repairs.measurements.readings_file import judge_file, parse_readings, readings_answer
from repairs.measurements.readings_file.schema import readings_answer_schema, readings_file_schema

FOLDER: Final = Path(__file__).resolve().parents[2] / "measurements" / "schema"
SCHEMAS: Final = {
    "readings_file.schema.json": readings_file_schema,
    "readings_answer.schema.json": readings_answer_schema,
}
# Invented motors and readings.
EXAMPLES: Final = ("incoming_test", "final_run")


def published() -> Iterator[tuple[str, str]]:
    """Yield name and text of each file that is written, in the language of the code."""
    with override("en"):
        for name, schema in SCHEMAS.items():
            yield name, json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"
        for name in EXAMPLES:
            file = parse_readings((FOLDER / f"{name}.json").read_bytes())
            answer = readings_answer(judge_file(file))
            yield f"{name}.answer.json", json.dumps(answer, allow_nan=False, indent=1) + "\n"


class Command(BaseCommand):
    """write_readings_schemas: no arguments."""

    help = "Write the JSON Schemas of readings file and answer, and the answers of the examples."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        """Write the files."""
        for name, text in published():
            (FOLDER / name).write_text(text, encoding="utf-8")
            self.stdout.write(name)
