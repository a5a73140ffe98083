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
        "Make a shop of BACKUP in a new or empty folder (--into), or only check that the backup is whole (--verify). "
        "A restore checks every file, before and after. It never writes over anything."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("backup", metavar="BACKUP", nargs="?", help="A folder mountside-DATE-TIME.")
        parser.add_argument(
            "--into", metavar="FOLDER", help="New or empty folder that becomes the shop folder."
        )
        parser.add_argument(
            "--verify", action="store_true", help="Check digests and rows; without --into write nothing."
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
                self.tell("The backup is whole", backup, verify_backup(backup))
                return
            into = Path(options["into"]).absolute()
            manifest = restore_backup(backup, into)
        except BackupError as error:
            raise CommandError(str(error)) from error
        except (OSError, sqlite3.Error, DatabaseError) as error:
            raise CommandError(f"Not done: {error}. Fix that, then run this again.") from error
        self.tell("Restored and checked", into, manifest)
        self.stdout.write(
            f"Start it with MOUNTSIDE_FOLDER={into}. Its settings.toml names the old address; change it there if the "
            f"shop moved.\nWhat people entered after {manifest.made_at:%Y-%m-%d %H:%M} UTC is not in it.\n"
            f"Set up its own daily backup: MOUNTSIDE_FOLDER={into} {sys.executable} manage.py backup FOLDER --timer"
        )
        if not (into / "secret-key").exists():
            self.stdout.write(
                "The backup holds no secret key: set MOUNTSIDE_SECRET_KEY as it was in the old shop."
            )

    def tell(self, what: str, where: Path, manifest: Manifest) -> None:
        rows = sum(manifest.rows.values())
        self.stdout.write(
            f"{what}: {where}. Made {manifest.made_at:%Y-%m-%d %H:%M} UTC, {len(manifest.files)} files, "
            f"{manifest.size_bytes / 1e6:,.1f} MB, {rows:,} rows."
        )
