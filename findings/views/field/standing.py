"""Where a request of the walk stands: its visit, who may write, when a stop began."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from findings.forms.recorded import RecordForm
from findings.forms.walk import say_why
from findings.selectors.field.ground import Ground, ground
from firm.errors import Refusal
from firm.http import MemberRequest
from inspections.access import contents_to_read, require_recorder
from inspections.services import pages


def read(request: MemberRequest, visit_id: UUID) -> Ground:
    """Return the ground for somebody who may read it. Raises Http404, NotAllowed."""
    return ground(request.actor, contents_to_read(request.actor, visit_id))


def write(request: MemberRequest, visit_id: UUID) -> Ground:
    """Return the ground for the one who records on the visit."""
    visit = contents_to_read(request.actor, visit_id)
    require_recorder(request.actor, visit)
    return ground(request.actor, visit)


def opened(request: MemberRequest, stop_id: UUID) -> str:
    """Return when this browser was first shown a stop, noting it the first time."""
    key = f"opened:{stop_id}"
    if key not in request.session:
        request.session[key] = timezone.now().isoformat()
    return str(request.session[key])


def saved(base: Ground, form: RecordForm, *typed: pages.Typed) -> bool:
    """Write what was typed; False when the log does not take it, said on the form."""
    try:
        pages.write(actor=base.actor, visit=base.visit, shown=form.version, typed=typed)
    except Refusal as refusal:
        say_why(form, refusal)
        return False
    return True


def shown(
    request: MemberRequest, template: str, page: Any, form: forms.Form
) -> HttpResponse:
    """Show a page with its form; with what was typed when it could not be saved."""
    status = 400 if form.errors else 200
    path = f"findings/field/{template}.html"
    return render(request, path, {"page": page, "form": form}, status=status)
