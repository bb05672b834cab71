"""The app of the firm and its people."""

from django.apps import AppConfig


class FirmConfig(AppConfig):
    name = "firm"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from firm import tasks  # noqa: F401, PLC0415  (registers its names)
