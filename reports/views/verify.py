"""Is this file genuine: asked by anybody, answered without names."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from reports.forms import VerifyForm
from reports.selectors.verification import known


def verify(request: HttpRequest) -> HttpResponse:
    asked = "sha256" in request.GET
    form = VerifyForm(request.GET if asked else None)
    found = known(form.cleaned_data["sha256"]) if asked and form.is_valid() else None
    return render(
        request,
        "reports/verify.html",
        {"form": form, "asked": asked and form.is_valid(), "found": found},
    )
