"""Back the shop up while it works."""

from __future__ import annotations

import getpass
import sqlite3
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.public import grouped
from repairs.backups.backup import make_backup, refuse_place, remove_older
from repairs.backups.last import note_backup
from repairs.backups.manifest import BackupError
from repairs.backups.restoration import verify_backup
from repairs.backups.timer import daily_timer
from repairs.file_modes import keep_files_private


class Command(BaseCommand):
    help = _(
        "Back up the shop to a new folder mountside-DATE-TIME (UTC) in FOLDER while people keep working: the "
        "database, then photos and documents, then a list of every file with its checksum. Unchanged photos are "
        "shared with the previous backup. The backup is read back before it counts. It contains the shop's secret "
        "key: protect it like the shop itself, and keep it on another disk or machine."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "folder", metavar="FOLDER", help=_("Folder for the backups, outside the shop folder.")
        )
        parser.add_argument(
            "--keep", type=int, help=_("Keep this many of the newest backups; remove the rest.")
        )
        parser.add_argument(
            "--timer", action="store_true", help=_("Print the daily timer to install; make no backup.")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        into = Path(options["folder"]).absolute()
        if options["keep"] is not None and options["keep"] < 1:
            raise CommandError(_("--keep must be 1 or more."))
        try:
            if options["timer"]:
                refuse_place(settings.SHOP_FOLDER, into)
                self.stdout.write(self.timer(into))
                return
            self.back_up(into, options["keep"])
        except BackupError as error:
            raise CommandError(str(error)) from error
        except (OSError, sqlite3.Error, DatabaseError) as error:
            raise CommandError(
                _(
                    "The backup did not finish: {error}. The partial copy was deleted; earlier backups are unchanged."
                ).format(error=error)
            ) from error

    def timer(self, into: Path) -> str:
        return daily_timer(
            root=settings.ROOT,
            shop=settings.SHOP_FOLDER,
            python=sys.executable,
            into=into,
            user=getpass.getuser(),
        )

    def back_up(self, into: Path, keep: int | None) -> None:
        keep_files_private()
        made, manifest = make_backup(
            shop=settings.SHOP_FOLDER, media=Path(settings.MEDIA_ROOT), into=into, now=timezone.now()
        )
        verify_backup(made)
        note_backup(settings.SHOP_FOLDER, made, manifest)
        rows = sum(manifest.rows.values())
        self.stdout.write(
            _("Backup is good: {made} ({files} files, {size} MB, {rows} records).").format(
                made=made,
                files=grouped(len(manifest.files)),
                size=grouped(manifest.size_bytes / 1e6, 1),
                rows=grouped(rows),
            )
        )
        if manifest.missing:
            self.stderr.write(
                ngettext(
                    "WARN {count} file is missing from the shop itself: {first}. Look for it in an earlier backup.",
                    "WARN {count} files are missing from the shop itself, the first: {first}. Look for them in an "
                    "earlier backup.",
                    len(manifest.missing),
                ).format(count=grouped(len(manifest.missing)), first=manifest.missing[0])
            )
        for old in remove_older(into, keep) if keep else []:
            self.stdout.write(_("Removed {old}.").format(old=old))
