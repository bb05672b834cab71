"""The import contracts hold, and are seen to fail when they are broken."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.sources import APPS, ROOT

LINTER = Path(sys.executable).parent / "lint-imports"

PLANTED = (
    ("firm/errors.py", "import reports.models", "Apps point one way"),
    ("findings/selectors/planted.py", "import findings.services", "Inside an app"),
    ("findings/views/planted.py", "import findings.models", "reach rows through"),
    ("findings/rules/planted.py", "import django.db", "plain Python"),
    ("inspections/log/planted.py", "import django.db", "no framework"),
    ("reports/rendering/planted.py", "import psycopg", "never a row"),
)


def judge(folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [LINTER, "--no-cache", "--no-logo", ROOT / "pyproject.toml"],
        cwd=folder,
        env={"PYTHONPATH": str(folder), "PATH": "/usr/bin:/bin", "COLUMNS": "200"},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_contracts_hold():
    verdict = judge(ROOT)

    assert verdict.returncode == 0, verdict.stdout + verdict.stderr


@pytest.mark.slow
@pytest.mark.parametrize(("path", "line", "contract"), PLANTED)
def test_a_planted_import_breaks_its_contract(tmp_path, path, line, contract):
    for app in APPS:
        shutil.copytree(
            ROOT / app,
            tmp_path / app,
            ignore=shutil.ignore_patterns("__pycache__", "templates", "*.pyc"),
        )
    with (tmp_path / path).open("a") as module:
        module.write(f"\n{line}\n")

    verdict = judge(tmp_path)

    broken = [row for row in verdict.stdout.splitlines() if row.endswith("BROKEN")]
    assert verdict.returncode == 1, verdict.stdout + verdict.stderr
    assert any(contract in row for row in broken), verdict.stdout
