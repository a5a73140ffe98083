"""What taking in a rating file costs per line, and what memory it needs: python -m tests.benchmarks.bench_book_import

Each size runs in a process and a database of its own: checked line by line, then written in one transaction.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SMALL, LARGE = 10_000, 100_000
SIZES = ("mm", "mm", "mm", "deg", "lbf", "lbf", "rpm", "rpm")
HEADER = (
    "designation,variant,cage,type,bore,outside_diameter,height,contact_angle,dynamic_rating,static_rating,"
    "limiting_speed,reference_speed,ball_count,ball_diameter\n"
)
# The large file may cost this much more per line, and this much more memory.
MOST_GROWTH, MOST_MEMORY_MB = 1.5, 80


def lines_of(number: int) -> Iterator[str]:
    """Yield an invented file: one envelope and inside, another designation on each line, ratings in pounds-force."""
    yield HEADER
    yield f",,,,{','.join(SIZES)},,mm\n"
    for n in range(number):
        inside = '"40°, single",brass,angular_contact_ball,100,215,47,40'
        yield f"T{n:06d} B,{inside},48559,46760,{2000 + n % 900},-,13,34.925\n"


def measure(number: int, path: Path) -> None:
    """Import a file of so many lines and say what it took."""
    import django

    django.setup()
    from django.core.management import call_command

    from bearings.book_file.importing import prepare_import, write_import
    from bearings.book_file.writer import export_lines
    from bearings.models import Rating, Source

    call_command("migrate", verbosity=0)
    source = Source.objects.create(maker="Maker A (invented)", title="Benchmark", edition=str(number))
    before = _memory_mb()
    begun = time.perf_counter()
    with path.open("rb") as file, prepare_import(file, source) as prepared:
        checked = time.perf_counter()
        write_import(prepared, source, correct=False)
    written = time.perf_counter()
    most = _memory_mb() - before
    assert Rating.objects.count() == number
    size = sum(len(line) for line in export_lines(source))
    print(checked - begun, written - checked, time.perf_counter() - written, most, size)


def _memory_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> int:
    """Measure both sizes and compare them."""
    parser = argparse.ArgumentParser(description="Measure the import of rating files.")
    parser.add_argument(
        "--one", type=int, help="measure one size in this process (used by the benchmark itself)"
    )
    parser.add_argument("--file", type=Path, help="the file for --one")
    options = parser.parse_args()
    if options.one:
        measure(options.one, options.file)
        return 0
    print(f"{'lines':>8}{'check':>10}{'write':>10}{'export':>10}{'µs a line':>12}{'memory':>10}")
    costs = []
    for number in (SMALL, LARGE):
        with tempfile.TemporaryDirectory(prefix="mountside-benchmark-") as folder:
            check, write, export, memory = _apart(number, Path(folder))
        cost = 1e6 * (check + write) / number
        costs.append((cost, memory))
        print(f"{number:>8}{check:>8.2f} s{write:>8.2f} s{export:>8.2f} s{cost:>12.0f}{memory:>7.0f} MB")
    growth, more = costs[1][0] / costs[0][0], costs[1][1] - costs[0][1]
    print(
        f"cost per line grows {growth:.2f} times (at most {MOST_GROWTH}), memory by {more:.0f} MB ({MOST_MEMORY_MB})"
    )
    return 0 if growth <= MOST_GROWTH and more <= MOST_MEMORY_MB else 1


def _apart(number: int, folder: Path) -> list[float]:
    file = folder / "ratings.csv"
    with file.open("w", encoding="utf-8") as out:
        out.writelines(lines_of(number))
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "repairs.settings",
        "MOUNTSIDE_SECRET_KEY": "benchmark",
        "MOUNTSIDE_FOLDER": str(folder),
    }
    command = [
        sys.executable,
        "-m",
        "tests.benchmarks.bench_book_import",
        "--one",
        str(number),
        "--file",
        str(file),
    ]
    done = subprocess.run(command, env=environment, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True)
    return [float(value) for value in done.stdout.split()[-5:-1]]


if __name__ == "__main__":
    sys.exit(main())
