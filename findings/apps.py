"""The app of findings."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core import checks


class FindingsConfig(AppConfig):
    name = "findings"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from findings import kept, tasks  # noqa: F401, PLC0415  (registers its names)

        kept.use(settings.VAR_DIR / "kept")
        checks.register(data_files)


def data_files(**_: Any) -> list[checks.CheckMessage]:
    """Say which rules, timelines and packs are broken, and where."""
    from findings import kept  # noqa: PLC0415
    from findings.rules import loader as rules  # noqa: PLC0415
    from findings.rules import timelines  # noqa: PLC0415
    from findings.standards import loader as packs  # noqa: PLC0415

    readers: list[tuple[Callable[..., object], str]] = [
        *((timelines.timeline, state) for state in timelines.states()),
        *((packs.pack, state) for state in packs.codes()),
    ]
    with suppress(*kept.BROKEN):
        rules.ruleset()
    for read, state in readers:
        # What has no last good one either is among the refused all the same.
        with suppress(*kept.BROKEN):
            read(state)
    hint = "What was in force before stays in force until this is put right."
    return [
        checks.Warning(f"{name}: {why}", hint=hint, id="findings.W001")
        for name, why in sorted(kept.refused.items())
    ]
