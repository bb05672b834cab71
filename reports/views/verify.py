"""Is this file genuine: asked by anybody, answered without names."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from reports.forms import VerifyForm
from reports.selectors.verification import known
from reports.services import seals


def verify(request: HttpRequest) -> HttpResponse:
    asked = "sha256" in request.GET
    form = VerifyForm(request.GET if asked else None)
    found = known(form.cleaned_data["sha256"]) if asked and form.is_valid() else None
    return render(
        request,
        "reports/verify.html",
        {
            "form": form,
            "asked": asked and form.is_valid(),
            "found": found,
            "root": seals.root_fingerprint(),
        },
    )


@require_GET
def root(request: HttpRequest) -> HttpResponse:  # noqa: ARG001 - a view takes one
    """Hand out the certificate that all seals of this installation hang under."""
    pem = seals.root_pem()
    if not pem:
        raise Http404
    response = HttpResponse(pem, content_type="application/x-pem-file")
    response.headers["Content-Disposition"] = 'attachment; filename="root.pem"'
    return response
