"""Settings of the program; docs/settings.md lists the variables a shop may set."""

from __future__ import annotations

import os
from pathlib import Path

from shop.launch.app_tree import build_hash
from shop.launch.database import database
from shop.launch.logs import logging_settings
from shop.launch.places import kept_secret, store_folder
from shop.launch.rotation import old_keys

BASE_DIR = Path(__file__).resolve().parent.parent
STORE_FOLDER = store_folder()

SECRET_KEY = kept_secret(STORE_FOLDER / "secret.key")
# Keys that `rotate` has replaced and that still hold for a while.
SECRET_KEY_FALLBACKS = old_keys(STORE_FOLDER)
DEBUG = False

# The names a browser may use for this computer; `serve --lan` adds the name on the network.
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
ALLOWED_HOSTS += [name for name in os.environ.get("KETTLESIDE_NAMES", "").split(",") if name]

# Set by `serve --lan` (shop/management/serving.py): where phones are at home, names they are
# still to leave, the plain page they begin at, and the authority's fingerprint in rows.
HOME = os.environ.get("KETTLESIDE_HOME", "")
OLD_NAMES = [name for name in os.environ.get("KETTLESIDE_OLD_NAMES", "").split(",") if name]
ALLOWED_HOSTS += OLD_NAMES
FIRST_VISIT = os.environ.get("KETTLESIDE_FIRST_VISIT", "")
FINGERPRINT = tuple(os.environ.get("KETTLESIDE_FINGERPRINT", "").split("|"))

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "shop",
]

# No GZip for every answer: compressing a page that holds a CSRF token beside what a stranger
# typed leaks the token (BREACH, breachattack.com). Views compress what holds no secret.
MIDDLEWARE = [
    "shop.launch.asked.asked",
    "django.middleware.security.SecurityMiddleware",
    "shop.launch.by_name.by_name",
    "shop.launch.app_tree.app_tree_middleware",
    "csp.middleware.CSPMiddleware",
    "shop.sync.apart.wire_apart",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.screens.office.reading.one_language",
    "shop.screens.office.access.at_shop",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {"default": database(os.environ.get("DATABASE_URL", ""))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
LOGIN_URL = "/office/sign-in/"
LOGIN_REDIRECT_URL = "/office/"

TLS = os.environ.get("KETTLESIDE_TLS") == "1"
if os.environ.get("KETTLESIDE_PROXY") == "1":
    # Only where nobody but the proxy reaches this port: it overwrites what a browser says here.
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    MIDDLEWARE.insert(1, "shop.launch.proxy.behind_proxy")
# Under a name and certificate of its own a browser may insist on HTTPS. With our own authority it
# must not: the plain page where a phone fetches the certificate is under the same name.
OWN_NAME = TLS and any(os.environ.get(f"KETTLESIDE_{n}") for n in ("PROXY", "CERTIFICATE"))
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if OWN_NAME else 0
# W004 asks for the above where it would lock phones out; W005 and W021 for every name below and
# for browsers' own lists, which are the domain's affair. W008: no plain port answers the program's
# pages where there is HTTPS, so there is nothing to redirect.
SILENCED_SYSTEM_CHECKS = [f"security.{n}" for n in ("W004", "W005", "W008", "W021")]
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = TLS
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'self'"],
        # A photo is shown from memory before it has been sent.
        "img-src": ["'self'", "blob:"],
        "media-src": ["'self'", "blob:"],
        "base-uri": ["'none'"],
        "form-action": ["'self'"],
        "frame-ancestors": ["'none'"],
        "object-src": ["'none'"],
    },
}

# The switch for a worker that went wrong: phones then load the app over the network again.
FLOOR_WORKER = os.environ.get("KETTLESIDE_WORKER") != "off"

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en", "English"), ("de", "Deutsch")]
LOCALE_PATHS = [BASE_DIR / "shop" / "locale"]
TIME_ZONE = os.environ.get("KETTLESIDE_TIME_ZONE", "Europe/London")
USE_I18N = True
# Numbers stand with a point in every language of the desk, as its forms read them.
FORMAT_MODULE_PATH = "shop.screens.formats"
USE_TZ = True

# BUILD names the front end this process serves; see shop/launch/app_tree.py.
STATIC_DIR = BASE_DIR / "static"
BUILD = build_hash(BASE_DIR)
STATIC_URL = "/static/"
APP_TREE_URL = f"{STATIC_URL}app/{BUILD}/"
STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.AppDirectoriesFinder"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "shop.launch.app_tree.AppTreeStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_IMMUTABLE_FILE_TEST = f"^{APP_TREE_URL}"
WHITENOISE_ALLOW_ALL_ORIGINS = False

LOGGING = logging_settings()
