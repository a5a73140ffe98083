"""Make a shop of a backup, or prove that one is whole."""

from __future__ import annotations

import argparse
import sqlite3
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils.translation import gettext as _

from bearings.public import grouped
from repairs.backups.manifest import BackupError, Manifest
from repairs.backups.restoration import finish_restore, restore_backup, verify_backup
from repairs.file_modes import keep_files_private


class Command(BaseCommand):
    help = _(
        "Restore BACKUP into a new or empty folder (--into), or only check that it is complete (--verify). "
        "A restore checks every file before and after. It never overwrites anything."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("backup", metavar="BACKUP", nargs="?", help=_("A folder mountside-DATE-TIME."))
        parser.add_argument(
            "--into", metavar="FOLDER", help=_("New or empty folder that becomes the shop folder.")
        )
        parser.add_argument(
            "--verify",
            action="store_true",
            help=_("Check every file and record count; without --into, write nothing."),
        )
        parser.add_argument("--finish", action="store_true", help=argparse.SUPPRESS)

    def handle(self, *args: Any, **options: Any) -> None:
        keep_files_private()
        if options["finish"]:
            finish_restore()
            return
        if not options["backup"] or not (options["into"] or options["verify"]):
            raise CommandError(_("Name a backup, and --into FOLDER to restore it or --verify to check it."))
        backup = Path(options["backup"]).absolute()
        try:
            if not options["into"]:
                words = _(
                    "Backup is complete: {where}. Made {made}, {files} files, {size} MB, {rows} records."
                )
                self.tell(words, backup, verify_backup(backup))
                return
            into = Path(options["into"]).absolute()
            manifest = restore_backup(backup, into)
        except BackupError as error:
            raise CommandError(str(error)) from error
        except (OSError, sqlite3.Error, DatabaseError) as error:
            raise CommandError(
                _("Not restored: {error}. Fix that, then run this again.").format(error=error)
            ) from error
        words = _("Restored and checked: {where}. Made {made}, {files} files, {size} MB, {rows} records.")
        self.tell(words, into, manifest)
        self.stdout.write(
            _(
                "Start it with MOUNTSIDE_FOLDER={into}. Its settings.toml has the old address; change it if the "
                "shop moved.\nEntries made after {made} are not in it.\n"
                "Set up its own daily backup: MOUNTSIDE_FOLDER={into} {python} manage.py backup FOLDER --timer"
            ).format(into=into, made=_made(manifest), python=sys.executable)
        )
        if not (into / "secret-key").exists():
            words = _("The backup has no secret key. Set MOUNTSIDE_SECRET_KEY to the old shop's key.")
            self.stdout.write(words)

    def tell(self, words: str, where: Path, manifest: Manifest) -> None:
        self.stdout.write(
            words.format(
                where=where,
                made=_made(manifest),
                files=grouped(len(manifest.files)),
                size=grouped(manifest.size_bytes / 1e6, 1),
                rows=grouped(sum(manifest.rows.values())),
            )
        )


def _made(manifest: Manifest) -> str:
    return f"{manifest.made_at:%Y-%m-%d %H:%M} UTC"
