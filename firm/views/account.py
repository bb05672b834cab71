"""Signing in and out, and choosing the firm to work in."""

from typing import Any, cast

from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from firm.access import memberships_of_user
from firm.actor import Actor
from firm.forms import SignInForm
from firm.selectors.header import home_of


class SignIn(auth_views.LoginView):
    template_name = "firm/account/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True


class SignOut(auth_views.LogoutView):
    next_page = "sign-in"


@login_required
def home(request: HttpRequest) -> HttpResponse:
    """Go to the only firm, or offer the firms this person belongs to."""
    with transaction.atomic():
        mine = memberships_of_user(cast(Any, request.user))
    rows = [(row.firm.name, home_of(Actor.member(row.firm, row))) for row in mine]
    if len(rows) == 1:
        return redirect(rows[0][1])
    return render(request, "firm/home.html", {"rows": rows})
