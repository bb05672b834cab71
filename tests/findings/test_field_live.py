"""What a form gives to the device's rules: the property's dates, notes on age."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest

from inspections.models import Visit
from inspections.services import log
from tests.findings.test_field_panel_views import panel
from tests.support.cast import Cast
from tests.support.field import started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def note(cast: Cast, visit: Visit, reach: str, *years: int | None) -> None:
    fields = {"kind": "age_note", "reach": reach, "year_from": years[0],
              "year_to": years[1]}  # fmt: skip
    rec = str(uuid4())
    changes = [log.Change(rec, name, value) for name, value in fields.items()]
    log.record(actor=cast.ines.actor, visit=visit, changes=changes)


def dates(cast: Cast, address: str) -> Any:
    live = cast.ines.client().get(address).context["page"].live
    return json.loads(live["dates"])


def test_a_form_knows_the_notes_on_age_that_reach_its_stop(
    cast: Cast, visit: Visit
) -> None:
    visit.property.built_from = 1978
    visit.property.save()
    stops = started(cast, visit, cast.ines.client())
    note(cast, visit, stops["Garage"], 2004, 2006)
    note(cast, visit, stops["Kitchen"], 2010, 2012)
    note(cast, visit, "system:electrical", 1995, None)
    told = dates(cast, url("item-write", visit, stops["Garage"], "garage_opener"))

    assert told["notes"] == {"stop": [2004, 2006], "system:electrical": [1995, None]}
    assert told["built"] == [1978, 1978]


def test_spaces_and_receptacles_bring_the_same(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    stops = started(cast, visit, client)
    note(cast, visit, stops["Kitchen"], 2010, 2012)
    note(cast, visit, "house", 1978, 1978)
    odd = url("receptacle-write", visit, stops["Kitchen"], uuid4())

    assert dates(cast, odd)["notes"] == {"stop": [2010, 2012], "house": [1978, 1978]}
    assert dates(cast, url("space-write", visit, key, 3))["notes"] == {
        "house": [1978, 1978]
    }
    page = client.get(odd).content.decode()
    assert 'data-record="receptacle"' in page
