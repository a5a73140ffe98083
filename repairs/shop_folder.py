"""The folder of one shop: who may read it, whose it is, and the settings that lie in it.

Settings need this module before Django is set up, so it imports the standard library alone.
"""

from __future__ import annotations

import os
import re
import secrets
import tomllib
import zoneinfo
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Final

SECRET: Final = "secret-key"
SETTINGS: Final = "settings.toml"
DEMO_MARK: Final = "demo-shop"
RESTORE_MARK: Final = "restore-unfinished"
UNITS: Final = ("us", "si")
_ADDRESS: Final = re.compile(
    r"https?://(?:[A-Za-z0-9](?:[A-Za-z0-9.-]{0,252})|\[[0-9A-Fa-f:]{2,39}\])(?::[1-9][0-9]{0,4})?"
)
_HEAD: Final = "# Settings of this shop. An environment variable (MOUNTSIDE_...) overrides a line here.\n"


class ShopFolderError(Exception):
    """The folder cannot be used; the message says what is wrong and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopSettings:
    """What a shop sets once. ``address`` is where people open it, scheme included; empty means this machine only."""

    time_zone: str = "UTC"
    units: str = "us"
    address: str = ""


def make_private_folder(path: Path) -> None:
    """Make a folder, or take an existing one, that only its owner can open (0700)."""
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    path.chmod(0o700)


def make_private_parents(path: Path) -> None:
    """Make the folders that ``path`` needs and that are not there yet, each for its owner only (0700)."""
    for folder in reversed([parent for parent in path.parents if not parent.exists()]):
        folder.mkdir(mode=0o700, exist_ok=True)


def write_private_file(path: Path, text: str) -> None:
    """Write a file whole or not at all, readable by its owner only (0600) and on the disk when this returns."""
    partial = path.with_name(f".{path.name}.{os.getpid()}.part")
    descriptor = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    partial.replace(path)
    flush_folder(path.parent)


def flush_folder(path: Path) -> None:
    """Have a folder's own entries on the disk: a rename is lost in a power cut until then."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def new_secret() -> str:
    """Return a random secret key."""
    return secrets.token_urlsafe(50)


def read_secret(folder: Path) -> str:
    """Return the folder's secret key, or nothing when it holds none."""
    try:
        return (folder / SECRET).read_text(encoding="utf-8").strip()
    except FileNotFoundError:
        return ""


def keep_secret(folder: Path, key: str) -> None:
    """Write the key that this process runs with, unless the folder has one or the environment names one."""
    if not read_secret(folder) and not os.environ.get("MOUNTSIDE_SECRET_KEY"):
        write_private_file(folder / SECRET, key)


def is_unused(folder: Path) -> bool:
    """Whether nothing lies in the folder, or there is none; what a disk or a killed start leaves does not count."""
    return not folder.exists() or all(
        entry.name == "lost+found" or (entry.name.startswith(".") and entry.name.endswith(".part"))
        for entry in folder.iterdir()
    )


def is_demo(folder: Path) -> bool:
    """Whether the demo made this folder."""
    return (folder / DEMO_MARK).is_file()


def read_settings(folder: Path) -> ShopSettings:
    """Return the folder's settings, defaults where it holds none; raise :class:`ShopFolderError` by line and cure."""
    path = folder / SETTINGS
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return ShopSettings()
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ShopFolderError(f"{path} cannot be read: {error}. Fix that line and start again.") from error
    known = {field.name for field in fields(ShopSettings)}
    if unknown := sorted(set(raw) - known):
        names = ", ".join(sorted(known))
        raise ShopFolderError(f"{path}: {unknown[0]!r} is not a setting. Accepted: {names}.")
    if wrong := [name for name, value in raw.items() if not isinstance(value, str)]:
        raise ShopFolderError(f'{path}: put the value of {wrong[0]} in quotes, such as {wrong[0]} = "...".')
    try:
        return checked(ShopSettings(**raw))
    except ShopFolderError as error:
        raise ShopFolderError(f"{path}: {error}") from error


def checked(chosen: ShopSettings) -> ShopSettings:
    """Return settings that can be used, or raise :class:`ShopFolderError` by field, range and cure."""
    check_time_zone(chosen.time_zone)
    check_units(chosen.units)
    check_address(chosen.address)
    return chosen


def check_time_zone(name: str) -> None:
    """Refuse a time zone that this machine does not know."""
    try:
        zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ShopFolderError(
            f"time_zone {name!r} is not a known time zone. Enter a name such as America/Chicago or Europe/Berlin."
        ) from error


def check_units(units: str) -> None:
    """Refuse units other than US customary and SI."""
    if units not in UNITS:
        raise ShopFolderError(f"units {units!r} is not valid. Enter us (inch, lbf) or si (mm, N).")


def check_address(address: str) -> None:
    """Refuse an address that is not https or http with a host and nothing behind it."""
    if address and not _ADDRESS.fullmatch(address):
        raise ShopFolderError(
            f"address {address!r} is not valid. Enter scheme and name only, such as https://shop.example:8443."
        )


def write_settings(folder: Path, chosen: ShopSettings) -> None:
    """Write the folder's settings file; every value was checked, so none needs escaping."""
    lines = [f'{field.name} = "{getattr(checked(chosen), field.name)}"\n' for field in fields(ShopSettings)]
    write_private_file(folder / SETTINGS, _HEAD + "".join(lines))
