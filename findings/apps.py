"""The app of findings."""

from django.apps import AppConfig


class FindingsConfig(AppConfig):
    name = "findings"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from findings import tasks  # noqa: F401, PLC0415  (registers its names)
