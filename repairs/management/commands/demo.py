"""Fill an embedded database with the invented shop and serve it."""

from __future__ import annotations

import os
import shutil
import socket
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections
from django.utils.translation import gettext as _

from repairs import shop_folder
from repairs.file_modes import keep_files_private
from repairs.management.shop.people import PASSWORD, PEOPLE
from repairs.people.models import User
from repairs.people.permissions import Role


class Command(BaseCommand):
    help = _(
        "Serve Mountside with an invented shop on the embedded database. The first start fills it; later starts keep "
        "its data. --reset DELETES the demo's database and photos and rebuilds them. No tablet is enrolled: "
        "sign in as admin, add one under Tablets, and enter its code on the tablet at /bench/enrol/. Bench people then "
        "pick their name there and enter the PIN printed at the start."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--reset", action="store_true", help=_("Delete the demo's data and rebuild it."))
        parser.add_argument("--port", type=int, default=8000, help=_("Port on this machine (default 8000)."))
        parser.add_argument("--no-serve", action="store_true", help=_("Fill the database, then stop."))

    def handle(self, *args: Any, **options: Any) -> None:
        call_command("check", fail_level="ERROR", verbosity=0)
        if "sqlite3" not in settings.DATABASES["default"]["ENGINE"]:
            raise CommandError(
                _("The demo uses the embedded database only. Unset DATABASE_URL and run it again.")
            )
        self.refuse_other_folder(settings.SHOP_FOLDER)
        keep_files_private()
        if not options["no_serve"]:
            self.refuse_taken_port(options["port"])
        self.make_folder(settings.SHOP_FOLDER)
        if options["reset"]:
            self.remove_data()
        call_command("migrate", verbosity=0)
        self.fill()
        call_command("collectstatic", verbosity=0, interactive=False)
        self.tell(options["port"])
        if not options["no_serve"]:
            self.serve(options["port"])

    def refuse_other_folder(self, folder: Path) -> None:
        """Refuse every folder that the demo did not make: a real shop must never be filled, emptied or served here."""
        if not shop_folder.is_unused(folder) and not shop_folder.is_demo(folder):
            raise CommandError(
                _(
                    "{folder} was not made by the demo, so nothing was changed. Set MOUNTSIDE_FOLDER to another "
                    "folder, such as /tmp/mountside-demo."
                ).format(folder=folder)
            )

    def make_folder(self, folder: Path) -> None:
        """Make the folder and mark it as the demo's before anything else lies in it."""
        shop_folder.make_private_folder(folder)
        if not shop_folder.is_demo(folder):
            shop_folder.write_private_file(
                folder / shop_folder.DEMO_MARK, "Invented data. Delete it at any time.\n"
            )
        shop_folder.keep_secret(folder, settings.SECRET_KEY)

    def remove_data(self) -> None:
        """Delete database, photos and papers of the demo; the secret key stays."""
        connections.close_all()
        name = str(settings.DATABASES["default"]["NAME"])
        for path in (name, f"{name}-wal", f"{name}-shm"):
            if os.path.exists(path):
                os.remove(path)
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)

    def refuse_taken_port(self, port: int) -> None:
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError as error:
                raise CommandError(
                    _("Port {port} is taken. Choose another one with --port.").format(port=port)
                ) from error

    def fill(self) -> None:
        """Build the invented shop once; a shop that was begun and not finished is refused by name."""
        from repairs.management.shop.building import build_shop

        if User.objects.exists():
            return
        build_shop()

    def tell(self, port: int) -> None:
        self.stdout.write("")
        address = f"http://127.0.0.1:{port}/"
        self.stdout.write(_("Mountside, with an invented shop: {address}").format(address=address))
        self.stdout.write(_("Sign in with the password '{password}' as:").format(password=PASSWORD))
        for person in PEOPLE:
            pin = _("PIN {pin}").format(pin=person.pin) if person.pin else ""
            self.stdout.write(f"  {person.username:<10} {Role(person.role).label:<14} {pin}".rstrip())
        words = _(
            "PINs open the bench on an enrolled tablet. As admin, add one under Tablets, then enter\n"
            "its code on the tablet at {address}"
        )
        self.stdout.write(words.format(address=f"{address}bench/enrol/"))
        self.stdout.write("")
        self.stdout.flush()

    def serve(self, port: int) -> None:
        """Hand this process over to the server, which then ends with Ctrl+C."""
        environment = {
            **os.environ,
            "MOUNTSIDE_PLAIN_HTTP": "1",
            "MOUNTSIDE_FOLDER": str(settings.SHOP_FOLDER),
            "MOUNTSIDE_BASE_URL": os.environ.get("MOUNTSIDE_BASE_URL", f"http://127.0.0.1:{port}"),
        }
        connections.close_all()
        arguments = ["-m", "gunicorn", "repairs.wsgi", "--bind", f"127.0.0.1:{port}"]
        arguments += [
            "--config",
            "python:repairs.serving",
            "--forwarder-headers=",
            "--log-level",
            "warning",
            "--chdir",
            str(settings.ROOT),
        ]
        os.execve(sys.executable, [sys.executable, *arguments], environment)
