"""The rules book: read it, tick a rule, and decide about one with a reason."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.review import say_why
from findings.forms.rule_page import context_of
from findings.forms.rules import (
    EXAMPLE,
    LevelForm,
    NewRuleForm,
    SwitchForm,
    TickForm,
    WriteForm,
)
from findings.selectors import rules_book
from findings.services import rules
from firm.errors import Refusal
from firm.http import MemberRequest, member_view

BAD = 400


@member_view
def rule_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("rules.read")
    query = request.GET.get("find", "")[:60]
    page = rules_book.list_page(request.actor, query)
    return render(request, "findings/rules/list.html", {"page": page})


@member_view
def rule_read(request: MemberRequest, rule: str) -> HttpResponse:
    return _page(request, access.rule_to_read(request.actor, rule))


@member_view
def rule_own(request: MemberRequest) -> HttpResponse:
    """Write a rule of the firm's own."""
    request.actor.require("rules.decide")
    page = rules_book.own_page(request.actor, request.GET.get("like", ""))
    begun = {"definition": page.text or EXAMPLE, "shown": 0}
    form = NewRuleForm(request.POST or None, initial=begun)
    status = BAD if request.POST else 200
    if form.is_valid():
        try:
            row = rules.write_own(actor=request.actor, **form.cleaned_data)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, row.rule, "The rule is in force from now on.")
    context = {"form": form, "page": page}
    return render(request, "findings/rules/own.html", context, status=status)


@require_POST
@member_view
def rule_switch(request: MemberRequest, rule: str) -> HttpResponse:
    name = access.rule_to_read(request.actor, rule)
    form, status = SwitchForm(request.POST, auto_id="switch_%s"), BAD
    if form.is_valid():
        try:
            on = form.cleaned_data["to"] == "on"
            rules.switch(actor=request.actor, decided=_decided(name, form), on=on)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, name, "Decided; it counts from now on.")
    return _page(request, name, status, switch_form=form)


@require_POST
@member_view
def rule_level(request: MemberRequest, rule: str) -> HttpResponse:
    name = access.rule_to_read(request.actor, rule)
    levels, status = rules_book.levels(), BAD
    form = LevelForm(request.POST, levels=levels, auto_id="level_%s")
    if form.is_valid():
        decided = _decided(name, form)
        try:
            rules.set_level(actor=request.actor, decided=decided, **form.level())
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, name, "Decided; it counts from now on.")
    return _page(request, name, status, level_form=form)


@require_POST
@member_view
def rule_write(request: MemberRequest, rule: str) -> HttpResponse:
    name = access.own_rule(request.actor, rule)
    form, status = WriteForm(request.POST, auto_id="write_%s"), BAD
    if form.is_valid():
        try:
            rules.write_own(actor=request.actor, name=name, **form.cleaned_data)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, rule, "Written anew; it counts from now on.")
    return _page(request, rule, status, write_form=form)


@require_POST
@member_view
def rule_tick(request: MemberRequest, rule: str) -> HttpResponse:
    name = access.rule_to_read(request.actor, rule)
    form, status = TickForm(request.POST, auto_id="tick_%s"), BAD
    if form.is_valid():
        version = form.cleaned_data["version"]
        today = rules_book.day_of(request.actor, timezone.now())
        try:
            rules.tick(actor=request.actor, rule=name, version=version, today=today)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, name, "Ticked.")
    return _page(request, name, status, tick_form=form)


def _decided(name: str, form: Any) -> rules.Decided:
    given = form.cleaned_data
    return rules.Decided(name, given["reason"], given["shown"])


def _done(request: MemberRequest, name: str, said: str) -> HttpResponse:
    messages.success(request, said)
    return redirect("rule-read", request.actor.firm.slug, name)


def _page(
    request: MemberRequest, name: str, status: int = 200, **typed: Any
) -> HttpResponse:
    page = rules_book.rule_page(request.actor, name, timezone.now())
    context = context_of(page, **typed)
    return render(request, "findings/rules/rule.html", context, status=status)
