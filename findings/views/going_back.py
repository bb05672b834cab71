"""Where an answer leads back to: the page that it was given on."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.urls import reverse

from firm.actor import Actor


def after_note(actor: Actor, note: Any) -> str:
    """Return the page that shows a note: its finding's, else the visit's."""
    kind, _, key = note.about.partition(":")
    if kind == "finding":
        return reverse("finding-read", args=[actor.firm.slug, key])
    return reverse("review-read", args=[actor.firm.slug, note.visit_id])


def back(request: HttpRequest, about: Any, visit_id: UUID) -> str:
    """Return the page named by `from`, one of three; a note's own without it."""
    actor: Actor = request.actor  # type: ignore[attr-defined]
    page = request.GET.get("from")
    if page == "sign":
        return reverse("visit-sign", args=[actor.firm.slug, visit_id])
    if page == "review":
        return reverse("review-read", args=[actor.firm.slug, visit_id])
    if finding := getattr(about, "finding_id", None):
        return reverse("finding-read", args=[actor.firm.slug, finding])
    return after_note(actor, about)


def after_of(request: HttpRequest) -> int:
    """Return the number of the finding just passed, 0 when none was."""
    said = request.GET.get("after", "")
    return int(said) if said.isascii() and said.isdigit() else 0


def after_check(request: HttpRequest, finding: Any, following: Any) -> str:
    """Return where reading goes on: on the visit's page, else at the next finding."""
    actor: Actor = request.actor  # type: ignore[attr-defined]
    whole = reverse("review-read", args=[actor.firm.slug, finding.visit_id])
    if request.GET.get("from") == "review":
        return f"{whole}?after={after_of(request)}#next"
    if following is None:
        return f"{whole}#finish"
    return reverse("finding-read", args=[actor.firm.slug, following.pk])
