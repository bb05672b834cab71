"""The environment is read strictly: a wrong value stops the start and is named."""

from pathlib import Path

import pytest

from firm import env


def test_a_database_url_becomes_settings() -> None:
    found = env.database("postgresql://kp%40x:s3@db.example:6432/king?sslmode=require")

    assert found["USER"] == "kp@x"
    assert found["PORT"] == "6432"
    assert found["OPTIONS"] == {"sslmode": "require"}


def test_another_database_is_refused() -> None:
    with pytest.raises(env.BadEnvironment, match="postgresql"):
        env.database("sqlite:///x.db")


def test_a_secret_may_lie_in_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = tmp_path / "key"
    secret.write_text("from-a-file\n")
    monkeypatch.setenv("FIRM_SECRET_KEY_FILE", str(secret))

    assert env.text("FIRM_SECRET_KEY") == "from-a-file"


@pytest.mark.parametrize(("value", "means"), [("yes", True), ("0", False)])
def test_flags_know_yes_and_no(
    value: str, means: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRM_DEBUG", value)

    assert env.flag("FIRM_DEBUG", default=not means) is means


def test_a_flag_that_is_neither_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIRM_DEBUG", "perhaps")

    with pytest.raises(env.BadEnvironment, match="FIRM_DEBUG"):
        env.flag("FIRM_DEBUG", default=False)
