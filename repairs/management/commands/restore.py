"""Make a shop of a backup, or prove that one is whole."""

from __future__ import annotations

import argparse
import sqlite3
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from repairs.backups.manifest import BackupError, Manifest
from repairs.backups.restoration import finish_restore, restore_backup, verify_backup
from repairs.file_modes import keep_files_private


class Command(BaseCommand):
    help = (
        "Restore BACKUP into a new or empty folder (--into), or only check that it is complete (--verify). "
        "A restore checks every file before and after. It never overwrites anything."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("backup", metavar="BACKUP", nargs="?", help="A folder mountside-DATE-TIME.")
        parser.add_argument(
            "--into", metavar="FOLDER", help="New or empty folder that becomes the shop folder."
        )
        parser.add_argument(
            "--verify",
            action="store_true",
            help="Check every file and record count; without --into, write nothing.",
        )
        parser.add_argument("--finish", action="store_true", help=argparse.SUPPRESS)

    def handle(self, *args: Any, **options: Any) -> None:
        keep_files_private()
        if options["finish"]:
            finish_restore()
            return
        if not options["backup"] or not (options["into"] or options["verify"]):
            raise CommandError("Name a backup, and --into FOLDER to restore it or --verify to check it.")
        backup = Path(options["backup"]).absolute()
        try:
            if not options["into"]:
                self.tell("Backup is complete", backup, verify_backup(backup))
                return
            into = Path(options["into"]).absolute()
            manifest = restore_backup(backup, into)
        except BackupError as error:
            raise CommandError(str(error)) from error
        except (OSError, sqlite3.Error, DatabaseError) as error:
            raise CommandError(f"Not restored: {error}. Fix that, then run this again.") from error
        self.tell("Restored and checked", into, manifest)
        self.stdout.write(
            f"Start it with MOUNTSIDE_FOLDER={into}. Its settings.toml has the old address; change it if the "
            f"shop moved.\nEntries made after {manifest.made_at:%Y-%m-%d %H:%M} UTC are not in it.\n"
            f"Set up its own daily backup: MOUNTSIDE_FOLDER={into} {sys.executable} manage.py backup FOLDER --timer"
        )
        if not (into / "secret-key").exists():
            self.stdout.write("The backup has no secret key. Set MOUNTSIDE_SECRET_KEY to the old shop's key.")

    def tell(self, what: str, where: Path, manifest: Manifest) -> None:
        rows = sum(manifest.rows.values())
        self.stdout.write(
            f"{what}: {where}. Made {manifest.made_at:%Y-%m-%d %H:%M} UTC, {len(manifest.files)} files, "
            f"{manifest.size_bytes / 1e6:,.1f} MB, {rows:,} records."
        )
