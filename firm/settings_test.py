"""Settings of the test suite: the same stack, quick passwords, work run at once."""

import tempfile
from pathlib import Path

from firm import env
from firm.settings import *
from firm.settings import CACHES, DATABASES, REDIS_URL, STORAGES

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
CELERY_TASK_ALWAYS_EAGER = True
CELERY_TASK_EAGER_PROPAGATES = True
FIRM_JOB_LEASES_RENEWED = False
FIRM_JOBS_RAISE = True

_scratch = Path(tempfile.mkdtemp(prefix="kingpost-test-"))
FIRM_UPLOAD_DIR = _scratch / "uploads"
# Nothing is collected here; the folder only has to be there.
STATIC_ROOT = _scratch / "static"
STATIC_ROOT.mkdir()
STORAGES["default"] = {
    "BACKEND": "django.core.files.storage.FileSystemStorage",
    "OPTIONS": {"location": str(_scratch / "files")},
}

# Each worker of a parallel run empties a cache of its own.
_worker = 1 + int(env.text("PYTEST_XDIST_WORKER", "gw0")[2:]) % 15
CACHES["default"]["LOCATION"] = f"{REDIS_URL.rsplit('/', 1)[0]}/{_worker}"

# Each pair of hands on one machine may name a test database of its own.
_suffix = env.text("KINGPOST_TEST_DB", "")
for _alias in DATABASES:
    DATABASES[_alias]["CONN_MAX_AGE"] = 0
    DATABASES[_alias]["TEST"] = {"NAME": f"test_kingpost{_suffix.lower()}"}
DATABASES["default"]["TEST"]["MIGRATE"] = False  # type: ignore[index]
