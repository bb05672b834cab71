"""Reports that are released for real: one issue, or one and its correction."""

from __future__ import annotations

from typing import Any

from firm import jobs
from inspections.models import Contact
from reports.models import Release
from reports.services import releases
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, walk

BECAUSE = "A typing error in item 1."


def signed(cast: Cast, **extra: Any) -> Walk:
    """A visit with one finding and one photo, signed and ready to be released."""
    walked = walk(cast, **extra)
    walked.clients("Dana Whitlow")
    Contact.objects.filter(name="Dana Whitlow").update(email="dana@example.net")
    walked.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
    walked.decide("use")
    walked.finish()
    return walked


def freeze(walked: Walk, reason: str = "") -> Release:
    correction = releases.Correction(reason, "CLIENT") if reason else None
    return releases.release(
        actor=walked.cast.reviewer.actor,
        visit=walked.visit,
        now=NOW,
        correction=correction,
    )


def work(walked: Walk) -> bool:
    """Do one piece of the firm's background work on reports."""
    return jobs.run_next(firm_id=str(walked.cast.northside.pk), queue="reports")


def release(walked: Walk, reason: str = "") -> Release:
    row = freeze(walked, reason)
    assert work(walked)
    row.refresh_from_db()
    assert row.state == Release.State.RELEASED
    return row


def two_issues(cast: Cast) -> Walk:
    """A released visit and its correction, which the client asked for."""
    walked = signed(cast)
    release(walked)
    release(walked, BECAUSE)
    return walked
