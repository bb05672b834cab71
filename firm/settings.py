"""All settings, from the environment, top to bottom."""

from pathlib import Path

from csp.constants import NONE, SELF

from firm import env

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env.text("FIRM_VAR_DIR", str(BASE_DIR / "var")))

DEBUG = env.flag("FIRM_DEBUG", default=False)
ALLOWED_HOSTS = env.words("FIRM_HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = env.words("FIRM_ORIGINS")
FIRM_BASE_URL = env.text("FIRM_BASE_URL", "http://127.0.0.1:8000")
FIRM_HTTPS = env.flag("FIRM_HTTPS", default=False)
# A public key would let anybody forge a session: only plain http on one machine may
# start without one.
SECRET_KEY = env.text(
    "FIRM_SECRET_KEY", None if FIRM_HTTPS else "only-for-one-machine-" + "k" * 40
)
# Opens the keys that reports are sealed with. A secret of its own can be kept apart
# from the database's backup and outlives a change of the key above.
FIRM_SEAL_SECRET = env.text("FIRM_SEAL_SECRET", "") or SECRET_KEY

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.postgres",
    "rest_framework",
    "drf_spectacular",
    "csp",
    "firm.apps.FirmConfig",
    "inspections.apps.InspectionsConfig",
    "findings.apps.FindingsConfig",
    "reports.apps.ReportsConfig",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "firm.middleware.page_headers",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "firm.middleware.refusals_as_pages",
]

ROOT_URLCONF = "firm.urls"
WSGI_APPLICATION = "firm.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "firm.http.page_frame",
            ],
            "builtins": ["firm.templatetags.ui"],
        },
    },
]

# The application's role owns nothing and cannot step around row security; the owner
# migrates and backs up. Both reach the same database.
DATABASES = {
    "default": env.database(
        env.text("DATABASE_URL", "postgresql://kingpost_app@127.0.0.1:5432/kingpost")
    ),
    "owner": env.database(
        env.text(
            "DATABASE_OWNER_URL", "postgresql://kingpost_owner@127.0.0.1:5432/kingpost"
        )
    ),
}
FIRM_DB_APP_ROLE = env.text(
    "FIRM_DB_APP_ROLE", str(DATABASES["default"]["USER"]) or "kingpost_app"
)

REDIS_URL = env.text("REDIS_URL", "redis://127.0.0.1:6379/0")
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.redis.RedisCache",
        "LOCATION": REDIS_URL,
        "KEY_PREFIX": "kingpost",
    }
}

CELERY_BROKER_URL = REDIS_URL
CELERY_TASK_IGNORE_RESULT = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 900_000
CELERY_TASK_SOFT_TIME_LIMIT = 300
CELERY_TASK_TIME_LIMIT = 330
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_TRANSPORT_OPTIONS = {"socket_connect_timeout": 3}
CELERY_TASK_DEFAULT_QUEUE = "other"
CELERY_WORKER_HIJACK_ROOT_LOGGER = False

AUTH_USER_MODEL = "firm.User"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
PASSWORD_HASHERS = ["firm.passwords.Argon2id"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 15},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

SESSION_ENGINE = "django.contrib.sessions.backends.db"
SESSION_COOKIE_AGE = 24 * 60 * 60
SESSION_COOKIE_NAME = "__Host-session" if FIRM_HTTPS else "session"
SESSION_COOKIE_SECURE = FIRM_HTTPS
CSRF_COOKIE_NAME = "__Host-csrf" if FIRM_HTTPS else "csrf"
CSRF_COOKIE_SECURE = FIRM_HTTPS
CSRF_FAILURE_VIEW = "firm.views.health.csrf_failed"
SECURE_SSL_REDIRECT = FIRM_HTTPS
FIRM_BEHIND_PROXY = env.flag("FIRM_BEHIND_PROXY", default=False)
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if FIRM_BEHIND_PROXY else None
)
SECURE_HSTS_SECONDS = 31_536_000 if FIRM_HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = FIRM_HTTPS
SECURE_HSTS_PRELOAD = FIRM_HTTPS
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "blob:", "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
    }
}

LANGUAGE_CODE = "en-us"
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = False

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = VAR_DIR / "static"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG

S3_BUCKET = env.text("S3_BUCKET", "")
STORAGES = {
    "default": (
        {
            "BACKEND": "storages.backends.s3.S3Storage",
            "OPTIONS": {
                "bucket_name": S3_BUCKET,
                "endpoint_url": env.text("S3_ENDPOINT_URL", "") or None,
                "access_key": env.text("S3_ACCESS_KEY", "") or None,
                "secret_key": env.text("S3_SECRET_KEY", "") or None,
                "file_overwrite": True,
                "default_acl": None,
                "querystring_auth": True,
                "querystring_expire": 300,
            },
        }
        if S3_BUCKET
        else {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": str(VAR_DIR / "files")},
        }
    ),
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
FIRM_UPLOAD_DIR = VAR_DIR / "uploads"
FIRM_DATA_DIR = BASE_DIR / "fixtures"
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

EMAIL_BACKEND = env.text(
    "FIRM_EMAIL_BACKEND", "django.core.mail.backends.filebased.EmailBackend"
)
EMAIL_FILE_PATH = VAR_DIR / "mail"
EMAIL_HOST = env.text("FIRM_EMAIL_HOST", "localhost")
EMAIL_PORT = env.number("FIRM_EMAIL_PORT", 25)
DEFAULT_FROM_EMAIL = env.text("FIRM_EMAIL_FROM", "reports@localhost")

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["firm.api.auth.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "firm.api.errors.answer",
    "UNAUTHENTICATED_USER": None,
    "DEFAULT_PAGINATION_CLASS": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Kingpost",
    "DESCRIPTION": "Visits, their logs, photos and reports of one firm.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    "ENUM_NAME_OVERRIDES": {},
}

FIRM_VERSION = "2026.11.1"
FIRM_PAPER = env.text("FIRM_PAPER", "letter")
# host:port of a clamd; empty: papers from outside are taken unscanned, and say so.
FIRM_CLAMD = env.text("FIRM_CLAMD", "")
# Where this installation is found from outside; printed on sheets that are handed out.
FIRM_PUBLIC_URL = env.text("FIRM_PUBLIC_URL", "")
FIRM_SHARE_LINK_DAYS = {"client": 90, "agent": 30}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "plain": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}
    },
    "filters": {"no_secrets": {"()": "firm.log_words.WithoutSecrets"}},
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "plain",
            "filters": ["no_secrets"],
        }
    },
    # A seal that does not hold is an answer to somebody who asked, not an incident.
    "loggers": {"pyhanko": {"level": "ERROR"}},
    "root": {"handlers": ["console"], "level": env.text("FIRM_LOG_LEVEL", "WARNING")},
}
