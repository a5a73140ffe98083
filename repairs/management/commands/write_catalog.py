"""Write the stored catalog anew from what code and templates mark."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError


class Command(BaseCommand):
    """write_catalog: no arguments."""

    help = "Write the catalog of everything that people read, for translators."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        """Write the file."""
        try:
            from repairs.management.catalog import CATALOG, ROOT, catalog_text
        except ModuleNotFoundError as error:
            raise CommandError("Babel is not installed. Run .ci/setup --tests, then this again.") from error
        CATALOG.parent.mkdir(exist_ok=True)
        CATALOG.write_text(catalog_text(), encoding="utf-8")
        self.stdout.write(str(CATALOG.relative_to(ROOT)))
