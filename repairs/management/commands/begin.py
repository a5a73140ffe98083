"""Set up a real shop: its folder, its database, its first administrator."""

from __future__ import annotations

import getpass
import sys
from argparse import ArgumentParser
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs import shop_folder
from repairs.file_modes import keep_files_private
from repairs.management.first_start import (
    FirstAdministrator,
    FirstShop,
    check_administrator,
    check_shop_name,
    fill_new_shop,
)
from repairs.people.models import User
from repairs.people.permissions import Role
from repairs.people.services import PersonError
from repairs.shop_folder import ShopFolderError, ShopSettings

QUESTIONS = {
    "shop": gettext_lazy("Shop name, as it prints on your documents"),
    "units": gettext_lazy("Units: us (in, lbf, hp) or si (mm, N, kW)"),
    "time_zone": gettext_lazy("Time zone, such as America/Chicago"),
    "address": gettext_lazy(
        "Address people will open, such as https://shop.example; empty for this machine only"
    ),
    "first_name": gettext_lazy("Administrator's first name"),
    "last_name": gettext_lazy("Administrator's last name; may stay empty"),
    "username": gettext_lazy("Administrator's sign-in name"),
}
DEFAULTS = {"units": "us", "address": "", "last_name": ""}


class Command(BaseCommand):
    help = _(
        "Set up a real shop in the folder that MOUNTSIDE_FOLDER names (default: .shop beside the code). Creates the "
        "folder and its secret key, the database, the first administrator, the shop policy and the standard route "
        "templates; loads no demo data. Asks for anything you do not give as an option; --no-input asks nothing. "
        "If it is interrupted, run it again: it continues where it stopped."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        for name, question in QUESTIONS.items():
            parser.add_argument(f"--{name.replace('_', '-')}", help=f"{question}.")
        parser.add_argument(
            "--password-file",
            help=_("File with the administrator's password on its first line; - reads standard input."),
        )
        parser.add_argument(
            "--no-input", action="store_true", help=_("Ask nothing; use options and defaults.")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = settings.SHOP_FOLDER
        self.refuse_other_folder(folder)
        # Whatever SQLite or the migrations make from here on is the owner's alone.
        keep_files_private()
        self.check()
        if self.is_complete(folder):
            raise CommandError(
                _(
                    "The shop in {folder} is already set up. Sign in as an administrator to add people or change "
                    "the policy. To change time zone or address, edit its settings.toml."
                ).format(folder=folder)
            )
        if not has_people():
            shop, person, chosen = self.answers(options)
            self.make_folder(folder, chosen)
            self.write(_("Creating the database in {folder} ...").format(folder=folder))
            call_command("migrate", verbosity=0)
            try:
                fill_new_shop(shop, person)
            except PersonError as error:
                raise CommandError(str(error)) from error
        else:
            self.write(_("Database and administrator already exist; finishing the rest."))
        call_command("collectstatic", verbosity=0, interactive=False)
        self.tell(folder)

    def refuse_other_folder(self, folder: Path) -> None:
        """Refuse the demo's folder, and one with files in it that no earlier run of this command made."""
        if shop_folder.is_demo(folder):
            raise CommandError(
                _(
                    "{folder} belongs to the demo. Set MOUNTSIDE_FOLDER to a folder of your own, such as "
                    "/srv/mountside, and run this again."
                ).format(folder=folder)
            )
        if not shop_folder.is_unused(folder) and not (folder / shop_folder.SETTINGS).is_file():
            raise CommandError(
                _(
                    "{folder} is not empty and is not a shop made by 'begin'. Set MOUNTSIDE_FOLDER to a new folder."
                ).format(folder=folder)
            )

    def is_complete(self, folder: Path) -> bool:
        return has_people() and (settings.STATIC_ROOT / "staticfiles.json").is_file()

    def make_folder(self, folder: Path, chosen: ShopSettings) -> None:
        """Make folder, settings and key. The settings come first: they mark the folder as this command's own."""
        shop_folder.make_private_folder(folder)
        shop_folder.write_settings(folder, chosen)
        shop_folder.keep_secret(folder, settings.SECRET_KEY)
        shop_folder.make_private_folder(settings.MEDIA_ROOT)

    # ------------------------------------------------------------------ answers
    def answers(self, options: dict[str, object]) -> tuple[FirstShop, FirstAdministrator, ShopSettings]:
        """Return what the shop is called, who runs it and what it sets, each checked as soon as it is given."""
        checks: dict[str, Callable[[str], None]] = {
            "shop": check_shop_name,
            "units": shop_folder.check_units,
            "time_zone": shop_folder.check_time_zone,
            "address": shop_folder.check_address,
        }
        given = {name: self.answer(name, options, checks.get(name)) for name in QUESTIONS}
        person = FirstAdministrator(
            username=given["username"],
            first_name=given["first_name"],
            last_name=given["last_name"],
            units=given["units"],
            password=self.password(options, given),
        )
        chosen = ShopSettings(
            time_zone=given["time_zone"], units=given["units"], address=given["address"].rstrip("/")
        )
        return FirstShop(name=given["shop"]), person, chosen

    def answer(self, name: str, options: Mapping[str, Any], check: Callable[[str], None] | None) -> str:
        """Return an option, or what is typed; typed again until it can be used."""
        option = f"--{name.replace('_', '-')}"
        given: str | None = options[name]
        asks = given is None and not options["no_input"]
        while True:
            if given is None:
                given = (
                    self.typed(str(QUESTIONS[name]), DEFAULTS.get(name)) if asks else DEFAULTS.get(name, "")
                )
            given = given.strip()
            try:
                if not given and name not in DEFAULTS:
                    raise ShopFolderError(
                        _("{option} is missing. {question}.").format(option=option, question=QUESTIONS[name])
                    )
                if check:
                    check(given.rstrip("/") if name == "address" else given)
                return given
            except ShopFolderError as error:
                if not asks:
                    raise CommandError(str(error)) from error
                self.stderr.write(str(error))
                given = None

    def typed(self, question: str, default: str | None) -> str:
        try:
            return input(f"{question}{f' [{default}]' if default else ''}: ") or default or ""
        except (EOFError, KeyboardInterrupt) as error:
            raise CommandError(_("Stopped. Nothing was set up.")) from error

    def password(self, options: Mapping[str, Any], given: dict[str, str]) -> str:
        """Return a password that the shop's own rules take."""
        asks = options["password_file"] is None
        if asks and options["no_input"]:
            raise CommandError(
                _("--password-file is missing. Give a file with the password on its first line, or -.")
            )
        while True:
            password = self.typed_password() if asks else read_password(options["password_file"])
            try:
                check_administrator(
                    FirstAdministrator(
                        username=given["username"],
                        first_name=given["first_name"],
                        last_name=given["last_name"],
                        units=given["units"],
                        password=password,
                    )
                )
                return password
            except (PersonError, ValidationError) as error:
                text = " ".join(error.messages) if isinstance(error, ValidationError) else str(error)
                if not asks or getattr(error, "field", "password") != "password":
                    raise CommandError(text) from error
                self.stderr.write(text)

    def typed_password(self) -> str:
        first, again = _("Password:"), _("Password again:")
        try:
            while (password := getpass.getpass(f"{first} ")) != getpass.getpass(f"{again} "):
                self.stderr.write(_("The passwords do not match. Type both again."))
        except (EOFError, KeyboardInterrupt) as error:
            raise CommandError(_("Stopped. Nothing was set up.")) from error
        return password

    # ------------------------------------------------------------------ what comes next
    def write(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

    def tell(self, folder: Path) -> None:
        names = User.objects.filter(role=Role.ADMINISTRATOR, is_active=True).values_list(
            "username", flat=True
        )
        python = sys.executable
        self.write(
            "\n"
            + _(
                """\
The shop is ready in {folder}. Administrator: {names}.

Next steps (details in DEVELOPERS.md, "In service"):
 1. Certificate: tablets need https. See "HTTPS on a closed network".
 2. Start: MOUNTSIDE_FOLDER={folder} {python} -m gunicorn repairs.wsgi ... (the line is in DEVELOPERS.md)
 3. Daily backup, to another disk or machine:
    MOUNTSIDE_FOLDER={folder} {python} manage.py backup /path/to/backups
    'manage.py backup /path/to/backups --timer' prints the daily timer to install.
 4. Sign in, add people under People, tablets under Tablets, the address and limits under Shop policy,
    and your bearing ratings under Bearing book.
Keep {folder} readable by its owner only. Anyone who can read it can sign as anyone."""
            ).format(folder=folder, names=", ".join(names), python=python)
        )


def has_people() -> bool:
    """Whether the database exists and somebody may sign in."""
    if connection.vendor == "sqlite" and not Path(str(settings.DATABASES["default"]["NAME"])).exists():
        return False
    return User._meta.db_table in connection.introspection.table_names() and User.objects.exists()


def read_password(name: str) -> str:
    """Return the first line of a file, or of standard input for ``-``."""
    if name == "-":
        return sys.stdin.readline().rstrip("\r\n")
    try:
        return Path(name).read_text(encoding="utf-8").split("\n", 1)[0].rstrip("\r")
    except (OSError, UnicodeDecodeError) as error:
        raise CommandError(_("The password file cannot be read: {error}.").format(error=error)) from error
