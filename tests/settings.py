"""The project's settings with what the tests change: a database file, quick hashing, plain http."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault("MOUNTSIDE_SECRET_KEY", "for-tests-only")
os.environ.setdefault("MOUNTSIDE_PLAIN_HTTP", "1")
os.environ.setdefault("MOUNTSIDE_FOLDER", tempfile.mkdtemp(prefix="mountside-tests-"))

from repairs.settings import *  # noqa: F403
from repairs.settings import DATABASES, INSTALLED_APPS, MIDDLEWARE, SHOP_FOLDER

DATABASES["default"]["TEST"] = (
    {"NAME": str(Path(SHOP_FOLDER) / "test.sqlite3")} if ("sqlite3" in DATABASES["default"]["ENGINE"]) else {}
)
# A database in memory has no WAL, and threads lock each other there; hence the file above.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# A process of its own would look into another database than the test's.
LONG_WORK_RUNS = "at once"
# Starting a process for each picture would take longer than the tests of the rest; tests/repairs/photos/ start it.
PHOTO_DECODER = "here"
MEDIA_ROOT = Path(SHOP_FOLDER) / "media"
INSTALLED_APPS = [*INSTALLED_APPS]
MIDDLEWARE = [m for m in MIDDLEWARE if "whitenoise" not in m]
