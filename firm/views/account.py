"""Signing in and out, and choosing the firm to work in."""

from typing import Any, cast

from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from firm.access import memberships_of_user
from firm.forms import SignInForm
from firm.models import User


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
        mine = memberships_of_user(cast(User, request.user))
    if len(mine) == 1:
        return redirect(_first_page(mine[0]), firm_slug=mine[0].firm.slug)
    return render(request, "firm/home.html", {"memberships": mine})


def _first_page(membership: Any) -> str:
    if set(membership.roles) & {"SCHEDULER", "OWNER", "REVIEWER"}:
        return "visit-list"
    return "my-day"
