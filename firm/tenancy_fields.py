"""The base of every row that belongs to a firm."""

from __future__ import annotations

import uuid
from typing import Any, Self, TypeVar

from django.db import models

M = TypeVar("M", bound=models.Model)


class FirmQuerySet(models.QuerySet[M]):
    """Rows of one firm; the database refuses all others as well."""

    def for_firm(self, firm: Any) -> Self:
        return self.filter(firm=firm)


class FirmOwned(models.Model):
    """A row of one firm, with its own firm column and a random id."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    firm = models.ForeignKey(
        "firm.Firm", on_delete=models.CASCADE, related_name="+", editable=False
    )

    objects = FirmQuerySet.as_manager()

    class Meta:
        abstract = True
