"""The firm's library: search it, read a passage, write, approve, take out of use."""

from __future__ import annotations

import re
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.library import (
    ApproveForm,
    NewPassageForm,
    PassageForm,
    ReasonForm,
    VariantForm,
    variant_forms,
)
from findings.forms.review import say_why
from findings.selectors import library_list, library_page
from findings.services import library
from firm.errors import Refusal
from firm.http import MemberRequest, member_view

BAD = 400
OWN = "own."


@member_view
def passage_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("passages.read")
    asked = request.GET
    typed = asked.get("page", "")
    wanted = library_list.Wanted(
        query=asked.get("find", "")[:60],
        system=asked.get("system", "")[:40],
        standing=asked.get("standing", "")[:20],
        page=int(typed) if re.fullmatch(r"\d{1,4}", typed) else 1,
    )
    page = library_list.library_page(request.actor, wanted)
    return render(request, "findings/passages/list.html", {"page": page})


@member_view
def passage_read(request: MemberRequest, passage: str) -> HttpResponse:
    return _page(request, access.passage_to_read(request.actor, passage))


@member_view
def passage_new(request: MemberRequest) -> HttpResponse:
    """Write a passage that the library does not have yet."""
    request.actor.require("passages.write")
    form = NewPassageForm(request.POST or None)
    variants = variant_forms(request.POST or None)
    status = BAD if request.POST else 200
    if request.POST and _valid(form, variants):
        key = f"{OWN}{form.cleaned_data['name'].strip()}"
        refused = _written(request, key, form, variants)
        if refused is None:
            return _done(request, key, "Written. It is used once it is approved.")
        status = refused.status
    page = library_page.new_page(request.actor)
    context = {"page": page, "form": form, "variants": variants}
    return render(request, "findings/passages/new.html", context, status=status)


@require_POST
@member_view
def passage_write(request: MemberRequest, passage: str) -> HttpResponse:
    key = access.passage_to_read(request.actor, passage)
    form, variants = PassageForm(request.POST), variant_forms(request.POST)
    status = BAD
    if _valid(form, variants):
        refused = _written(request, key, form, variants)
        if refused is None:
            return _done(request, key, "Written. It is used once it is approved.")
        status = refused.status
    return _page(request, key, status, form=form, variants=variants)


@require_POST
@member_view
def passage_approve(request: MemberRequest, passage: str) -> HttpResponse:
    key = access.passage_to_read(request.actor, passage)
    form = ApproveForm(request.POST)
    if not form.is_valid():
        return _page(request, key, BAD)
    try:
        number = form.cleaned_data["number"]
        library.approve(actor=request.actor, key=key, number=number)
    except Refusal as refusal:
        messages.error(request, refusal.message)
        return _page(request, key, refusal.status)
    return _done(request, key, "Approved. It is used from now on.")


@require_POST
@member_view
def passage_retire(request: MemberRequest, passage: str) -> HttpResponse:
    key = access.passage_to_read(request.actor, passage)
    form, status = ReasonForm(request.POST, auto_id="retire_%s"), BAD
    if form.is_valid():
        try:
            library.retire(actor=request.actor, key=key, **form.cleaned_data)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, key, "Out of use. What was drafted from it stays.")
    return _page(request, key, status, retire_form=form)


@require_POST
@member_view
def passage_approve_waiting(request: MemberRequest) -> HttpResponse:
    """Approve all that waits, is whole and has no remark."""
    good, left = library.approve_waiting(actor=request.actor)
    said = f"{good} approved."
    if left:
        said += f" {left} still wait: a part is missing or a check has a remark."
    messages.success(request, said)
    return redirect("passage-list", request.actor.firm.slug)


def _valid(form: PassageForm, variants: list[VariantForm]) -> bool:
    # Every form is asked, so that all errors show at once.
    return all([form.is_valid(), *(one.is_valid() for one in variants)])


def _written(
    request: MemberRequest, key: str, form: PassageForm, variants: list[VariantForm]
) -> Refusal | None:
    found = [kept for one in variants if (kept := one.variant())]
    try:
        library.write(actor=request.actor, written=form.written(key, found))
    except Refusal as refusal:
        if refusal.field == "key" and "name" in form.fields:
            refusal.field = "name"
        say_why(form, refusal)
        return refusal
    return None


def _done(request: MemberRequest, key: str, said: str) -> HttpResponse:
    messages.success(request, said)
    return redirect("passage-read", request.actor.firm.slug, key)


def _page(
    request: MemberRequest, key: str, status: int = 200, **typed: Any
) -> HttpResponse:
    page = library_page.passage_page(request.actor, key)
    begun = page.initial | {"shown": page.shown}
    again = {"shown": page.shown}
    context = {
        "page": page,
        "form": PassageForm(initial=begun),
        "variants": variant_forms(None, page.variant_initial),
        "retire_form": ReasonForm(initial=again, auto_id="retire_%s"),
        **typed,
    }
    if "form" in typed:
        context["form"] = typed["form"].at(page.shown)
    return render(request, "findings/passages/passage.html", context, status=status)
