"""A marked picture, with its marks and without; what was blurred stays blurred."""

from __future__ import annotations

from typing import Any

import pytest

from findings.models import Rendition
from findings.services import renditions
from firm import storage
from firm.models import Job
from tests.support.cast import Cast
from tests.support.reviewed import at, by_rule, handed_in
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db

RING = {"shape": "ring", "points": [[1000, 1000], [5000, 5000]], "colour": "red"}
HIDDEN = {"shape": "blur", "points": [[3000, 3000], [7000, 7000]]}


def marked(cast: Cast, **marks: Any) -> Walk:
    walked = handed_in(cast)
    walked.picture("photo", stop="s-svc", use="shows_it", about="sp-13")
    for name, mark in marks.items():
        walked.record(**{f"m-{name}": {"kind": "mark", "photo": "photo", **mark}})
    renditions.make(actor=cast.ines.actor, photo_id=walked.id("photo"))
    return walked


def served(walked: Walk, query: str = "") -> bytes:
    address = at("photo-read", walked.id("photo"), "large") + query
    response = walked.cast.reviewer.client().get(address)
    assert response.status_code == 200
    return bytes(response.content)


def test_the_bare_copy_is_another_and_the_marked_one_is_served(cast: Cast) -> None:
    walked = marked(cast, ring=RING)

    assert served(walked) != served(walked, "?marks=off")
    page = cast.reviewer.client().get(at("finding-read", by_rule(walked)))
    assert page.status_code == 200


def test_what_was_blurred_stays_so_without_marks(cast: Cast) -> None:
    walked = marked(cast, ring=RING, hidden=HIDDEN)
    untouched = Rendition.objects.filter(size="large").order_by("made_at").first()
    assert untouched is not None

    without = served(walked, "?marks=off")

    assert without != storage.get(untouched.storage_key)
    assert without != served(walked)


def test_a_mark_taken_off_is_gone_from_what_is_served(cast: Cast) -> None:
    walked = marked(cast, ring=RING)
    with_ring = served(walked)
    walked.gone("m-ring")
    renditions.make(actor=cast.ines.actor, photo_id=walked.id("photo"))

    assert served(walked) != with_ring


def test_marks_drawn_after_the_picture_arrived_are_drawn_at_hand_in(
    cast: Cast,
) -> None:
    walked = handed_in(cast)
    walked.picture("photo", stop="s-svc", use="shows_it", about="sp-13")
    walked.record(**{"m-late": {"kind": "mark", "photo": "photo", **RING}})
    before = Job.objects.filter(task="findings.make_renditions").count()

    walked.hand_in()

    assert Job.objects.filter(task="findings.make_renditions").count() == before + 1


def test_the_review_offers_both_for_a_marked_picture_only(cast: Cast) -> None:
    walked = marked(cast, ring=RING)
    walked.picture("plain", stop="s-svc", use="shows_it", about="sp-13")
    walked.hand_in()

    page = cast.reviewer.client().get(at("finding-read", by_rule(walked)))
    rows = {row.photo_id: row for row in page.context["page"].photos}

    assert rows[walked.id("photo")].plain_url.endswith("large?marks=off")
    assert rows[walked.id("plain")].plain_url == ""
    assert "about=photo:" in rows[walked.id("plain")].note_url


@pytest.mark.parametrize("about", ["photo", "duty"])
def test_a_note_is_put_on_a_picture_and_on_a_line_of_the_standard(
    cast: Cast, about: str
) -> None:
    walked = marked(cast)
    client = cast.reviewer.client()
    page = client.get(at("review-read", walked.visit)).context["page"]
    duty = next(row.url for place in page.ledger for row in place.duties)
    key = duty.partition("about=")[2].partition("#")[0]
    on = f"photo:{walked.id('photo')}" if about == "photo" else key

    shown = client.get(at("review-read", walked.visit) + f"?about={on}")
    form = {"about": on, "text": "Two wires under one screw?"}
    sent = client.post(at("note-write", walked.visit), form)

    assert shown.context["page"].note_about
    assert sent.status_code == 302
    notes = client.get(at("review-read", walked.visit)).context["page"].notes
    assert notes[-1].about == shown.context["page"].note_about
    assert (notes[-1].photo is not None) is (about == "photo")
