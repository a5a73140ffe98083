"""Send malformed requests by hand: ``python -m tests.reliability.malformed --requests 10000 --seed 1``.

On PostgreSQL with DATABASE_URL. A finding names the number of its request, which the same seed sends again.
"""

from __future__ import annotations

import argparse
import logging
import os
import sys
import time

import django


def main() -> int:
    """Make a test database, send the requests, print what was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--requests", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    from django.db import connection
    from django.test.utils import setup_test_environment

    from tests.reliability.malformed_requests import Malformed
    from tests.reliability.malformed_shop import Shop

    setup_test_environment()
    logging.disable(logging.CRITICAL)
    name = connection.settings_dict["NAME"]
    connection.creation.create_test_db(verbosity=0, serialize=False)
    try:
        shop = Shop()
        shop.open()
        run = Malformed(asked.seed, shop)
        began = time.monotonic()
        run.run(asked.requests)
        took = time.monotonic() - began
        out = sys.stdout
        out.writelines(f"{one}\n" for one in run.findings)
        out.write(f"{connection.vendor}, seed {asked.seed}: {asked.requests} requests in {took:.0f} s, ")
        out.write(f"{len(run.reached)} of {len(run.map)} addresses, {dict(sorted(run.statuses.items()))}\n")
        out.write(f"slowest {run.slowest[0]:.1f} s: {run.slowest[1][:300]}\n{len(run.findings)} findings\n")
        return 1 if run.findings else 0
    finally:
        connection.creation.destroy_test_db(name, verbosity=0)


if __name__ == "__main__":
    sys.exit(main())
