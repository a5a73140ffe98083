"""Fill an empty shop for the replay: two people with a session each, jobs with an open stack record. Prints JSON."""

from __future__ import annotations

import json
import sys

import django


def seed(jobs: int) -> dict[str, list[dict[str, object]]]:
    from django.conf import settings
    from django.test import Client

    from tests.repairs.factories import make_job, make_stack_record, make_user

    people: list[dict[str, object]] = []
    for _ in range(2):
        user, client = make_user(), Client()
        client.force_login(user)
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        people.append({"id": user.pk, "session": session})
    rows: list[dict[str, object]] = []
    for _ in range(jobs):
        record = make_stack_record(make_job())
        rows.append({"number": record.job.number, "record": record.pk})
    return {"people": people, "jobs": rows}


if __name__ == "__main__":
    django.setup()
    sys.stdout.write(json.dumps(seed(int(sys.argv[1]))))
