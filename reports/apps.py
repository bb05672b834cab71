"""The app of reports."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from reports import tasks  # noqa: F401, PLC0415  (registers its names)
