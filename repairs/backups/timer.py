"""The daily backup as text to install: a systemd service with its timer, or a line for cron."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Final

KEEP: Final = 30
_TEXT: Final = """\
# As root, write the two files below, then: systemctl daemon-reload && systemctl enable --now mountside-backup.timer
# Test it now with: systemctl start mountside-backup.service && systemctl status mountside-backup.service
# {environment_note}

# /etc/systemd/system/mountside-backup.service
[Unit]
Description=Backup of the Mountside shop
RequiresMountsFor={u_into}

[Service]
Type=oneshot
User={user}
Environment={u_shop_variable}
WorkingDirectory={u_root}
ExecStart={u_python} manage.py backup {u_into} --keep {keep}
Nice=10
IOSchedulingClass=idle

# /etc/systemd/system/mountside-backup.timer
[Unit]
Description=Daily backup of the Mountside shop

[Timer]
OnCalendar=*-*-* 02:30
Persistent=true
RandomizedDelaySec=10min

[Install]
WantedBy=timers.target

# Without systemd, one line in the crontab of {user} (crontab -e):
30 2 * * * cd {q_root} && MOUNTSIDE_FOLDER={q_shop} {q_python} manage.py backup {q_into} --keep {keep}
"""


def daily_timer(*, root: Path, shop: Path, python: str, into: Path, user: str) -> str:
    """Return unit files and cron line with this installation's own paths."""
    return _TEXT.format(
        environment_note="Add any other MOUNTSIDE_... variables and DATABASE_URL that the server uses.",
        u_root=str(root).replace("%", "%%"),
        u_shop_variable=_unit_word(f"MOUNTSIDE_FOLDER={shop}"),
        u_python=_unit_word(python),
        u_into=_unit_word(str(into)),
        user=user,
        keep=KEEP,
        q_root=shlex.quote(str(root)),
        q_shop=shlex.quote(str(shop)),
        q_python=shlex.quote(python),
        q_into=shlex.quote(str(into)),
    )


def _unit_word(text: str) -> str:
    """Return a text as one word of a unit file, where % and quotes mean something."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{escaped}"'
