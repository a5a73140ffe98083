#!/usr/bin/env python3
"""Run a management command of the project."""

import os
import sys

from repairs.file_modes import keep_files_private


def main() -> None:
    """Hand the command line to Django, or say in words what is missing."""
    keep_files_private()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "repairs.settings")
    try:
        from django.core.exceptions import ImproperlyConfigured
        from django.core.management import execute_from_command_line
    except ImportError:
        sys.exit(
            "Django is not installed here. Follow the first command in README.md, then use .venv/bin/python."
        )
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        # 1 and 2 are answers of the checker; what could not start at all is neither.
        sys.stderr.write(f"{error}\n")
        sys.exit(70)


if __name__ == "__main__":
    main()
