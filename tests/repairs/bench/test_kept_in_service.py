"""The worker as it is served in service, where every file carries the digest of its contents in its name."""

from __future__ import annotations

import re

import pytest
from django.core.management import call_command

from repairs.bench.kept_pages import edition, worker_script


@pytest.fixture
def in_service(settings, tmp_path):
    settings.STATIC_ROOT = str(tmp_path)
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.ManifestStaticFilesStorage"},
    }
    call_command("collectstatic", interactive=False, verbosity=0)
    worker_script.cache_clear()
    yield
    worker_script.cache_clear()


def test_the_worker_names_every_file_with_its_digest(in_service):
    script = worker_script()
    assert f'"edition": "{edition()}"' in script
    assert re.search(r'importScripts\("/static/js/outbox_store\.[0-9a-f]{12}\.js"', script)
    assert re.search(r"/static/css/bench\.[0-9a-f]{12}\.css", script)
    assert '"files": "/static/"' in script
