"""The one settings file. Everything that differs between installations comes from the environment.

See "Settings" in DEVELOPERS.md for every variable. Safe by default: a missing secret stops the start.
"""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy as _

from repairs.edge import numbers
from repairs.file_modes import PRIVATE_FILE, PRIVATE_FOLDER
from repairs.shop_folder import RESTORE_MARK, ShopFolderError, new_secret, read_secret, read_settings
from repairs.sqlite import use_safe_sqlite

use_safe_sqlite()

ROOT = Path(__file__).resolve().parent.parent
SHOP_FOLDER = Path(os.environ.get("MOUNTSIDE_FOLDER", ROOT / ".shop")).absolute()

# Commands that judge files need no installation at all, so they must not ask for a secret.
WITHOUT_INSTALLATION = {
    "check_stack", "compare_stacks", "check_readings", "write_schemas", "write_readings_schemas", "write_catalog",
}  # fmt: skip
# Commands that make a shop folder; each writes the key only when it has made sure that the folder is its own.
MAKES_A_FOLDER = {"begin", "demo", "restore"}
COMMAND = sys.argv[1] if len(sys.argv) > 1 else ""


def flag(name: str, *, default: bool = False) -> bool:
    """Return an environment variable as yes or no."""
    value = os.environ.get(name)
    return default if value is None else value.strip().lower() in {"1", "yes", "true", "on"}


def secret_key() -> str:
    """Return the secret from the environment or from the shop folder, or stop the start by its name."""
    if key := os.environ.get("MOUNTSIDE_SECRET_KEY"):
        return key
    if COMMAND in WITHOUT_INSTALLATION:
        return "no-installation-needed-for-this-command"
    if key := read_secret(SHOP_FOLDER):
        return key
    if COMMAND in MAKES_A_FOLDER:
        return new_secret()
    raise ImproperlyConfigured(
        f"There is no shop in {SHOP_FOLDER}. Set one up with 'manage.py begin', or try the demo with 'manage.py demo'. "
        "If the shop is in another folder, set MOUNTSIDE_FOLDER. If the folder has no key, set MOUNTSIDE_SECRET_KEY."
    )


def whole_number(name: str, default: int, least: int, most: int) -> int:
    """Return a whole number from the environment, or stop the start by its name and range."""
    text = os.environ.get(name, str(default)).strip()
    number = numbers.whole_number(text, most=most)
    if number is None or number < least:
        raise ImproperlyConfigured(f"{name} is {text!r}. Enter a whole number from {least} to {most}.")
    return number


def pin_peppers(keys: list[str]) -> list[bytes]:
    """Return what PINs are mixed with before they are hashed, the one for new PINs first."""
    named = [os.environ["MOUNTSIDE_PIN_PEPPER"]] if os.environ.get("MOUNTSIDE_PIN_PEPPER") else []
    derived = [hashlib.sha256(f"PIN pepper {key}".encode()).hexdigest() for key in keys]
    return [pepper.encode() for pepper in (*named, *derived)]


if (SHOP_FOLDER / RESTORE_MARK).exists() and COMMAND != "restore":
    raise ImproperlyConfigured(f"A restore into {SHOP_FOLDER} did not finish. Run 'manage.py restore' again.")
try:
    SHOP = read_settings(SHOP_FOLDER)
except ShopFolderError as error:
    raise ImproperlyConfigured(str(error)) from error

DEBUG = flag("MOUNTSIDE_DEBUG")
SECRET_KEY = secret_key()
SECRET_KEY_FALLBACKS = [key for key in os.environ.get("MOUNTSIDE_OLD_SECRET_KEYS", "").split(",") if key]
# Only the machine itself may ask until the shop names its address.
THIS_MACHINE = ["localhost", "127.0.0.1", "[::1]"]
ADDRESS = os.environ.get("MOUNTSIDE_BASE_URL", SHOP.address)
ADDRESS_HOST = urlsplit(ADDRESS).hostname or ""
ALLOWED_HOSTS = (
    os.environ["MOUNTSIDE_HOSTS"].split(",")
    if "MOUNTSIDE_HOSTS" in os.environ
    else [
        *THIS_MACHINE,
        *([f"[{ADDRESS_HOST}]" if ":" in ADDRESS_HOST else ADDRESS_HOST] if ADDRESS_HOST else []),
    ]
)
CSRF_TRUSTED_ORIGINS = [o for o in os.environ.get("MOUNTSIDE_ORIGINS", ADDRESS).split(",") if o]
BASE_URL = ADDRESS or "http://127.0.0.1:8000"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "repairs.ledger",
    "repairs.people",
    "repairs.long_work",
    "repairs.photos",
    "bearings",
    "repairs.customers",
    "repairs.motors",
    "repairs.work_orders",
    "repairs.rechecks",
    "repairs.measurements",
    "repairs.documents",
    "repairs.office",
    "repairs.bench",
    "repairs.portal",
    "repairs",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "repairs.edge.middleware.EdgeMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "repairs.people.middleware.PersonMiddleware",
    "repairs.bench.shared_tablet.SharedTabletMiddleware",
]

ROOT_URLCONF = "repairs.urls"
WSGI_APPLICATION = "repairs.wsgi.application"
# The shop has a host of its own. Without this a header of any peer (SCRIPT_NAME) would come before every address.
FORCE_SCRIPT_NAME = ""

TEMPLATES: list[dict[str, object]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "repairs.people.context.shell",
                "repairs.backups.context.backup_warning",
            ],
            "builtins": ["django.templatetags.i18n", "django.templatetags.static"],
            "libraries": {"mountside": "repairs.templatetags"},
        },
    },
]

# ------------------------------------------------------------------ data
SQLITE_PRAGMAS = (
    "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA foreign_keys=ON;"
    "PRAGMA temp_store=MEMORY;PRAGMA cache_size=-20000;PRAGMA journal_size_limit=27103364;"
)
if url := os.environ.get("DATABASE_URL"):
    DATABASES: dict[str, Any] = {
        "default": dj_database_url.parse(url, conn_max_age=None, conn_health_checks=True)
    }
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": SHOP_FOLDER / "mountside.sqlite3",
            "CONN_MAX_AGE": None,
            "OPTIONS": {
                "timeout": 20,
                "transaction_mode": "IMMEDIATE",
                "init_command": SQLITE_PRAGMAS,
            },
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "people.User"

# ------------------------------------------------------------------ files
STATIC_URL = "/static/"
STATIC_ROOT = SHOP_FOLDER / "static"
STATICFILES_DIRS = [ROOT / "static"]
MEDIA_ROOT = SHOP_FOLDER / "media"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
FILE_UPLOAD_PERMISSIONS = PRIVATE_FILE
FILE_UPLOAD_DIRECTORY_PERMISSIONS = PRIVATE_FOLDER
DATA_UPLOAD_MAX_NUMBER_FILES = 20
PHOTO_MAX_BYTES = 25 * 1024 * 1024
# A JPEG of so many pixels is scaled while it is read; other formats have lower limits (repairs/photos/pixels.py).
PHOTO_MAX_PIXELS = 200_000_000
# "apart" decodes pictures in a process of its own with bounded memory, "here" in the process that asks.
PHOTO_DECODER = "apart"
# The largest form: all the photos that one takes, with its text and the marks between its parts.
REQUEST_MAX_BYTES = DATA_UPLOAD_MAX_NUMBER_FILES * PHOTO_MAX_BYTES + 10 * 1024 * 1024
# Where nobody signs in, nobody sends photos: the customer's pages take a short form and no more.
OPEN_PAGES = "/my/"
OPEN_PAGES_MAX_BYTES = 64 * 1024

# "apart" starts a process of its own for each piece of long work, "at once" runs it where it is asked for,
# "by hand" leaves it to whoever runs the command.
LONG_WORK_RUNS = "apart"

# ------------------------------------------------------------------ sign-in
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
# How many proxies of the shop stand between browsers and this process; each adds what it was asked from.
BEHIND_PROXY = flag("MOUNTSIDE_BEHIND_PROXY")
PROXIES = whole_number("MOUNTSIDE_PROXIES", 1 if BEHIND_PROXY else 0, 0, 9)
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]

# ------------------------------------------------------------------ shared tablets
# PINs made before a pepper was named, or under a former key, still hold; each is hashed anew when it is next used.
PIN_PEPPERS = pin_peppers([SECRET_KEY, *SECRET_KEY_FALLBACKS])
PIN_DIGITS = whole_number("MOUNTSIDE_PIN_DIGITS", 6, 4, 8)
BENCH_IDLE_MINUTES = whole_number("MOUNTSIDE_BENCH_IDLE_MINUTES", 5, 1, 120)
DEVICE_COOKIE_AGE = 400 * 24 * 3600

# ------------------------------------------------------------------ language, place
LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
LOCALE_PATHS = [ROOT / "repairs" / "locale"]
FORMAT_MODULE_PATH = "repairs.formats"
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("MOUNTSIDE_TIME_ZONE", SHOP.time_zone)
# What people of this shop read until they choose: "us" or "si".
SHOP_UNITS = SHOP.units

# ------------------------------------------------------------------ security
PLAIN_HTTP = flag("MOUNTSIDE_PLAIN_HTTP", default=COMMAND == "demo")
SECURE_SSL_REDIRECT = not PLAIN_HTTP
SECURE_HSTS_SECONDS = 0 if PLAIN_HTTP else 31_536_000
# The promise is for the shop's own host. Other sites under the same domain are not ours to bind, and a list built into
# browsers cannot be left again.
SECURE_HSTS_INCLUDE_SUBDOMAINS = False
SECURE_HSTS_PRELOAD = False
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
SESSION_COOKIE_SECURE = not PLAIN_HTTP
CSRF_COOKIE_SECURE = not PLAIN_HTTP
# No script reads it: pages carry the token in their forms.
CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 12 * 3600
# The prefix makes browsers refuse a cookie of this name that did not come by https from this very host.
DEVICE_COOKIE = "device" if PLAIN_HTTP else "__Host-device"
BROWSER_COOKIE = "known-browser" if PLAIN_HTTP else "__Host-known-browser"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "blob:", "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [SELF],
        "frame-ancestors": [NONE],
        "manifest-src": [SELF],
        "worker-src": [SELF],
    }
}
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"private": {"()": "repairs.private_logs.PrivateLog"}},
    "formatters": {
        "timed": {
            "()": "django.utils.log.ServerFormatter",
            "format": "[{server_time}] {message}",
            "style": "{",
        }
    },
    "handlers": {
        "console": {"class": "logging.StreamHandler", "filters": ["private"]},
        "each_request": {"class": "logging.StreamHandler", "filters": ["private"], "formatter": "timed"},
    },
    "loggers": {
        "django": {"handlers": [], "level": "INFO"},
        # The development server's line for each request.
        "django.server": {"handlers": ["each_request"], "level": "INFO", "propagate": False},
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
}
