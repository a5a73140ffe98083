"""Replay many entries of two tablets on shared jobs while the line breaks and the server is killed.

``python -m tests.reliability.replay --entries 500`` takes a few minutes; the test suite runs a short one.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import sqlite3
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Final

from PIL import Image

from tests.reliability.killed_server import KilledServer
from tests.reliability.tablet import Entry, Tablet

KINDS: Final = ("reading", "note", "stack", "photo")
MARK: Final = re.compile(r"\b[AB]\d{4}\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What was sent, what happened on the way, and what the shop's records hold of it."""

    tablets: list[Tablet]
    kills: int
    seconds: float
    stored: list[tuple[int, str, str]]
    doubts: list[str]

    def faults(self) -> list[str]:
        """Return everything that is not as promised: lost, doubled, out of order, refused, damaged."""
        counted = Counter(mark for _actor, _job, mark in self.stored)
        faults = [*self.doubts]
        for tablet in self.tablets:
            marks = [entry.mark for entry in tablet.entries]
            faults += [f"lost: {mark}" for mark in tablet.tally.acknowledged if counted[mark] == 0]
            faults += [f"not sent: {mark}" for mark in marks if mark not in set(tablet.tally.acknowledged)]
            faults += [f"twice: {mark}" for mark in marks if counted[mark] > 1]
            faults += [f"refused: {words}" for words in tablet.tally.refused]
            faults += self._disorder(tablet)
        return faults

    def _disorder(self, tablet: Tablet) -> list[str]:
        """Return the jobs on which the entries of a tablet stand in another order than they were made."""
        jobs: dict[str, list[str]] = {}
        for actor, job, mark in self.stored:
            if actor == tablet.person:
                jobs.setdefault(job, []).append(mark)
        return [f"out of order on {job}" for job, marks in jobs.items() if marks != sorted(marks)]

    def words(self) -> str:
        """Say in one line what the replay went through."""
        tallies = [tablet.tally for tablet in self.tablets]
        told = {
            "entries": sum(len(tablet.entries) for tablet in self.tablets),
            "acknowledged": sum(len(one.acknowledged) for one in tallies),
            "requests": sum(one.tries for one in tallies),
            "cut in the middle": sum(one.cut_before for one in tallies),
            "answers lost": sum(one.cut_after for one in tallies),
            "conflicts decided": sum(one.conflicts for one in tallies),
            "server killed": self.kills,
            "seconds": round(self.seconds, 1),
            "faults": len(self.faults()),
        }
        return ", ".join(f"{name} {value}" for name, value in told.items())


def small_photo(shade: int) -> bytes:
    out = BytesIO()
    Image.new("RGB", (160, 120), (shade % 256, 120, 140)).save(out, "JPEG")
    return out.getvalue()


def entry_of(kind: str, mark: str, number: int, job: dict[str, Any]) -> Entry:
    """Return a form of the bench with a mark in a field that its event keeps."""
    base = f"/bench/jobs/{job['number']}/"
    if kind == "reading":
        fields = {"quantity": f"Run-out {mark}", "value": str(number), "unit": "µm", "moment": "as_found"}
        return Entry(mark=mark, url=f"{base}reading/", fields=fields)
    if kind == "note":
        return Entry(mark=mark, url=f"{base}hand-over/", fields={"done": f"Cleaned as far as {mark}."})
    if kind == "photo":
        fields = {"stage": "", "caption": mark}
        return Entry(mark=mark, url=f"{base}photos/", fields=fields, photo=small_photo(number))
    stack = f"{base}stack/as_found/"
    fields = {"do": "describe:note", "note": f"Looked at {mark}.", "version": "1"}
    return Entry(mark=mark, url=f"{stack}act/", fields=fields, record=stack)


def queue_of(letter: str, count: int, jobs: list[dict[str, Any]], chance: random.Random) -> list[Entry]:
    """Return what one tablet kept: kinds and jobs mixed, marked in the order in which it was entered."""
    weights = (4, 3, 3, 1)
    return [
        entry_of(chance.choices(KINDS, weights)[0], f"{letter}{number:04d}", number, chance.choice(jobs))
        for number in range(count)
    ]


def replay(*, entries: int, kills: int, cuts: float, seed: int, within_s: float) -> Outcome:
    """Run both tablets against a server that dies ``kills`` times, and read what the database holds afterwards."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory(prefix="replay-") as folder:
        server = KilledServer(Path(folder))
        seeded = server.seed(3)
        halves = (entries - entries // 2, entries // 2)
        tablets = [
            Tablet(
                port=server.port,
                person=person["id"],
                session=person["session"],
                entries=queue_of(letter, count, seeded["jobs"], chance),
                cuts=cuts,
                seed=seed + count,
            )
            for letter, count, person in zip("AB", halves, seeded["people"], strict=True)
        ]
        server.start()
        began = time.monotonic()
        try:
            _send(tablets, server, kills, chance, began + within_s)
        finally:
            server.kill()
        stored, doubts = read_back(server.database(), Path(folder) / "media")
        return Outcome(
            tablets=tablets,
            kills=server.kills - 1,
            seconds=time.monotonic() - began,
            stored=stored,
            doubts=doubts,
        )


def _send(
    tablets: list[Tablet], server: KilledServer, kills: int, chance: random.Random, deadline: float
) -> None:
    """Let the tablets send; kill the server each time another share of the entries is acknowledged."""
    threads = [threading.Thread(target=tablet.send_all, args=(deadline,)) for tablet in tablets]
    total = sum(len(tablet.entries) for tablet in tablets)
    for thread in threads:
        thread.start()
    for number in range(1, kills + 1):
        due = total * number / (kills + 1)
        while _acknowledged(tablets) < due and time.monotonic() < deadline:
            time.sleep(0.01)
        time.sleep(chance.random() * 0.05)
        server.kill()
        time.sleep(chance.random() * 0.2)
        server.start()
    for thread in threads:
        thread.join()


def _acknowledged(tablets: list[Tablet]) -> int:
    return sum(len(tablet.tally.acknowledged) for tablet in tablets)


def read_back(database: Path, media: Path) -> tuple[list[tuple[int, str, str]], list[str]]:
    """Read the database past the application; return (person, job, mark) of its events in order, and doubts."""
    with sqlite3.connect(database) as rows:
        doubts = [str(line) for line in rows.execute("PRAGMA integrity_check") if line != ("ok",)]
        doubts += [f"points nowhere: {line}" for line in rows.execute("PRAGMA foreign_key_check")]
        events = rows.execute(
            "SELECT actor_id, job_number, after FROM ledger_event"
            " WHERE json_extract(after, '$.made_at') IS NOT NULL ORDER BY id"
        )
        stored = [
            (actor, job, MARK.findall(json.dumps(json.loads(after)))[0]) for actor, job, after in events
        ]
        marks = Counter(mark for _actor, _job, mark in stored)
        tables = (
            ("measurements_reading", "quantity"),
            ("work_orders_handover", "done"),
            ("photos_photo", "original_name"),
        )
        for table, column in tables:
            held = Counter(
                MARK.findall(str(text))[0] for (text,) in rows.execute(f"SELECT {column} FROM {table}")
            )
            doubts += [
                f"{table} holds {mark} {count} times" for mark, count in held.items() if count != marks[mark]
            ]
        doubts += [
            f"photo without its file: {path}"
            for row in rows.execute("SELECT original, print_size, thumbnail FROM photos_photo")
            for path in row
            if not (media / path).is_file()
        ]
        acts = sum(1 for _ in rows.execute("SELECT 1 FROM ledger_event WHERE verb = 'stack.described'"))
        versions = sum(
            version - 1 for (version,) in rows.execute("SELECT version FROM work_orders_stackrecord")
        )
    if acts != versions:
        doubts.append(f"{acts} acts made {versions} versions")
    return stored, doubts


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=500)
    parser.add_argument("--kills", type=int, default=12)
    parser.add_argument("--cuts", type=float, default=0.2, help="share of the exchanges that the line breaks")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    outcome = replay(
        entries=chosen.entries, kills=chosen.kills, cuts=chosen.cuts, seed=chosen.seed, within_s=1800
    )
    sys.stdout.write(outcome.words() + "\n")
    sys.stdout.writelines(f"{fault}\n" for fault in outcome.faults())
    return 1 if outcome.faults() else 0


if __name__ == "__main__":
    raise SystemExit(main())
