"""What the console commands say of themselves is in the catalog of sentences, for every command a shop may run."""

from __future__ import annotations

import argparse

import pytest
from django.core.management import load_command_class
from django.core.management.base import BaseCommand

from tests.made_up_language import known

COMMANDS = {
    "repairs.management": ("backup", "begin", "check_readings", "demo", "export_ratings", "import_ratings", "restore"),
    "repairs.rechecks": ("recheck",),
    "repairs.long_work": ("long_work",),
    "bearings": ("check_stack", "compare_stacks"),
}  # fmt: skip
EVERY = [(app.removesuffix(".management"), name) for app, names in COMMANDS.items() for name in names]


def own_help(app: str, name: str) -> list[str]:
    """Return what a command and its own options say with --help."""
    command = load_command_class(app, name)
    usual = {action.dest for action in BaseCommand().create_parser("manage.py", name)._actions}
    parser = command.create_parser("manage.py", name)
    assert command.help
    options = [one for one in parser._actions if one.dest not in usual and one.help != argparse.SUPPRESS]
    assert all(one.help for one in options), name
    return [str(command.help), *(str(one.help) for one in options)]


@pytest.mark.parametrize(("app", "name"), EVERY)
def test_the_help_of_a_command_can_be_translated(app, name):
    sentences = {message for _context, message in known()}
    # A question at the prompt is an option's help with a full stop.
    assert not [text for text in own_help(app, name) if not {text, text.removesuffix(".")} & sentences]
