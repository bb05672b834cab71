"""The app of inspections."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from inspections import tasks  # noqa: F401, PLC0415  (registers its names)
