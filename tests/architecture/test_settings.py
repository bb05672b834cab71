"""Settings come from the environment, are fit for production, and refuse nonsense."""

import secrets
import subprocess
import sys

import pytest

from firm.env import all_of
from tests.architecture.sources import ROOT

KEPT = {"PATH", "HOME"}
PRODUCTION = {
    "FIRM_DEBUG": "no",
    "FIRM_HTTPS": "yes",
    "FIRM_HOSTS": "reports.example",
    "FIRM_ORIGINS": "https://reports.example",
    "FIRM_BASE_URL": "https://reports.example",
    "FIRM_SECRET_KEY": secrets.token_urlsafe(64),
    "DATABASE_URL": "postgresql://app:x@127.0.0.1:1/kingpost",
    "REDIS_URL": "redis://127.0.0.1:1/0",
}


def manage(*arguments: str, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run manage.py with these variables and nothing inherited of ours."""
    system = {name: value for name, value in all_of().items() if name in KEPT}
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        env=system | variables,
        capture_output=True,
        text=True,
        check=False,
    )


def test_production_passes_djangos_own_check():
    verdict = manage("check", "--deploy", "--fail-level", "WARNING", **PRODUCTION)

    assert verdict.returncode == 0, verdict.stdout + verdict.stderr


def test_production_does_not_start_without_a_secret_key():
    without = {k: v for k, v in PRODUCTION.items() if k != "FIRM_SECRET_KEY"}

    verdict = manage("check", **without)

    assert verdict.returncode != 0
    assert "FIRM_SECRET_KEY" in verdict.stderr


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("FIRM_DEBUG", "perhaps"),
        ("FIRM_EMAIL_PORT", "twenty-five"),
        ("DATABASE_URL", "mysql://x/y"),
    ],
)
def test_a_wrong_value_stops_the_start_and_is_named(name, value):
    verdict = manage("check", **(PRODUCTION | {name: value}))

    assert verdict.returncode != 0
    assert "must" in verdict.stderr.splitlines()[-1]


def test_a_secret_may_come_from_a_file(tmp_path):
    secret = tmp_path / "key"
    secret.write_text(PRODUCTION["FIRM_SECRET_KEY"] + "\n")
    from_file = {k: v for k, v in PRODUCTION.items() if k != "FIRM_SECRET_KEY"}

    verdict = manage(
        "shell",
        "--no-imports",
        "-c",
        "from django.conf import settings; print(settings.SECRET_KEY)",
        **(from_file | {"FIRM_SECRET_KEY_FILE": str(secret)}),
    )

    assert verdict.stdout.strip() == PRODUCTION["FIRM_SECRET_KEY"]


def test_only_env_reads_the_environment():
    readers = [
        path.relative_to(ROOT).as_posix()
        for app in ("firm", "inspections", "findings", "reports")
        for path in (ROOT / app).rglob("*.py")
        if "os.environ" in path.read_text() or "getenv" in path.read_text()
    ]

    # The entry points only name the settings module, as Django asks of them.
    assert set(readers) <= {"firm/env.py", "firm/celery.py", "firm/wsgi.py"}
