"""Run one piece of long work in this process."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from repairs.long_work.services import run_long_work


class Command(BaseCommand):
    help = _("Run a piece of long work that was asked for. The pages start this by themselves.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", type=int, help=_("Number of the work."))

    def handle(self, *args: Any, **options: Any) -> None:
        work = run_long_work(options["number"])
        if work is None:
            self.stdout.write(_("Nothing to do: another process works on it, or it is finished."))
        else:
            self.stdout.write(f"{work.kind}: {work.state}")
