"""Judge the standing stacks again and list whose outcome changed."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from time import monotonic
from typing import Any, Final

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from bearings.public import grouped
from repairs.ledger.services import SYSTEM
from repairs.rechecks.judging import Rejudged
from repairs.rechecks.lines import as_line, as_values
from repairs.rechecks.models import Recheck
from repairs.rechecks.running import chunk_pace, chunks, finish
from repairs.rechecks.services import begin_recheck
from repairs.rechecks.standing import Scope, standing_records
from repairs.rechecks.writing import SupersededError, answers_to, write_chunk

TOLD_EVERY_S: Final = 0.5
STOPPED: Final = 1
SUPERSEDED: Final = 2


class Command(BaseCommand):
    help = _(
        "Check the signed stacks of open jobs and motors in service again, with the current policy, plates and newest "
        "editions, and list those whose result changed. Stored assessments do not change. Exit status 1 when something "
        "became STOP."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--jobs", action="store_true", help=_("Open jobs only (default: both)."))
        parser.add_argument(
            "--motors", action="store_true", help=_("Motors in service only (default: both).")
        )
        parser.add_argument("--format", choices=("text", "json"), default="text", help=_("Output format."))
        parser.add_argument("--store", action="store_true", help=_("Save the run so the pages show it."))

    def handle(self, *args: Any, **options: Any) -> None:
        both = options["jobs"] == options["motors"]
        scope = Scope(jobs=both or options["jobs"], motors=both or options["motors"])
        recheck = None
        if options["store"]:
            recheck = begin_recheck(
                actor=SYSTEM,
                why=Recheck.Why.HAND,
                about="manage.py recheck",
                jobs=scope.jobs,
                motors=scope.motors,
            )
        counts = {"checked": 0, "changed": 0, "became_stop": 0}
        changed = self.changed(scope, recheck, counts)
        write = self.write_json if options["format"] == "json" else self.write_text
        try:
            write(changed, counts)
        except SupersededError as error:
            words = _("A newer re-check replaced this one and its results.")
            raise CommandError(words, returncode=SUPERSEDED) from error
        if counts["became_stop"]:
            sys.exit(STOPPED)

    def changed(self, scope: Scope, recheck: Recheck | None, counts: dict[str, int]) -> Iterator[Rejudged]:
        """Yield the stacks whose outcome changed, chunk after chunk, and tell the progress on standard error."""
        total = standing_records(scope).count()
        told, pace = monotonic(), chunk_pace()
        for reached, found in chunks(scope, pace):
            if recheck is not None:
                with pace.batch():
                    write_chunk(recheck, found, answers_to(found), reached=reached, judged=len(found))
            counts["checked"] += len(found)
            for one in found:
                if one.verdict.changed:
                    counts["changed"] += 1
                    counts["became_stop"] += one.verdict.became_stop
                    yield one
            if monotonic() - told >= TOLD_EVERY_S:
                told = monotonic()
                self.tell(counts["checked"], total)
        if recheck is not None:
            finish(recheck)
        self.tell(counts["checked"], total)

    def tell(self, checked: int, total: int) -> None:
        self.stderr.write(_("{done} of {total}").format(done=grouped(checked), total=grouped(total)))

    def write_text(self, changed: Iterator[Rejudged], counts: dict[str, int]) -> None:
        for one in changed:
            self.stdout.write(as_line(one))
        self.stdout.write(
            _("{checked} checked, {changed} changed, {became_stop} became STOP").format(
                **{name: grouped(count) for name, count in counts.items()}
            )
        )

    def write_json(self, changed: Iterator[Rejudged], counts: dict[str, int]) -> None:
        """Write one document, stack by stack, so that a long list needs no memory."""
        self.stdout.write('{"changes": [', ending="")
        for number, one in enumerate(changed):
            self.stdout.write(
                ("," if number else "") + "\n" + json.dumps(as_values(one), allow_nan=False), ending=""
            )
        self.stdout.write("],\n" + json.dumps(counts)[1:])
