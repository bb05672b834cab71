"""The walk's pages as a browser uses them: addresses, forms with their hidden parts."""

from __future__ import annotations

import re
from typing import Any

from django.test import Client
from django.urls import reverse

from inspections.models import Visit
from inspections.selectors.folded import folded
from tests.support.cast import Cast

HIDDEN = {"shown", "record_id"}
NO_ROOMS = dict.fromkeys(
    ("living", "dining", "hall", "laundry", "bathroom", "under_floor"), 0
)


def url(name: str, visit: Visit, *args: Any) -> str:
    return reverse(name, args=["northside", visit.pk, *args])


def records(cast: Cast, visit: Visit, kind: str) -> dict[str, dict[str, Any]]:
    found, _ = folded(cast.ines.actor, visit)
    return {key: one for key, one in found.items() if one["kind"] == kind}


def started(cast: Cast, visit: Visit, client: Client, **counts: int) -> dict[str, str]:
    """Make the route; return the stops' ids by name."""
    sent = NO_ROOMS | {"kitchen": 1, "bedroom": 2, "garage": 1, "attic": 1} | counts
    response = client.post(url("visit-start", visit), sent)
    assert response.status_code == 302, response.content
    return {stop["name"]: key for key, stop in records(cast, visit, "stop").items()}


def hidden(page: Any) -> dict[str, str]:
    """The hidden inputs of a page's form, as a browser sends them back."""
    found = {}
    for tag in re.findall(r"<input[^>]*type=\"hidden\"[^>]*>", page.content.decode()):
        name = re.search(r'name="([^"]+)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and name[1] in HIDDEN:
            found[name[1]] = value[1] if value else ""
    return found


def fill(client: Client, address: str, **typed: Any) -> Any:
    """Open a form and send it with what is typed."""
    return client.post(address, hidden(client.get(address)) | typed)
