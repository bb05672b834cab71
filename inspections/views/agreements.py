"""The page on which a client reads and signs the agreement: no login, one link."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from firm.access import firm_behind
from firm.actor import Actor
from firm.errors import Refusal
from firm.http import takes_a_form
from firm.tenancy import bound
from inspections.access import signature_by_token
from inspections.forms.bookings import SignAgreementForm
from inspections.selectors.bookings import agreement_page
from inspections.services import agreements

if TYPE_CHECKING:
    from inspections.models import AgreementSignature as Signature
    from inspections.selectors.booking_pages import AgreementPage


@require_http_methods(["GET", "HEAD", "POST"])
def agreement_sign(request: HttpRequest, token: str) -> HttpResponse:
    """Show the frozen text; only a POST with a typed name signs."""
    firm = firm_behind(token)
    if firm is None:
        raise Http404
    with bound(firm.pk):
        signature = signature_by_token(token)
        if signature.signed_at is None and signature.expires_at <= timezone.now():
            context = {"firm_name": firm.name}
            return render(
                request, "inspections/agreements/gone.html", context, status=410
            )
        form = SignAgreementForm(request.POST or None)
        if request.method == "POST" and form.is_valid() and _signed(form, signature):
            return redirect(request.path)
        return _page(request, agreement_page(firm, signature), form)


def _signed(form: SignAgreementForm, signature: Signature) -> bool:
    """Sign as the form says; a refusal becomes the form's error."""
    actor = Actor.link(signature.firm, signature.party.contact.name, signature.pk)
    try:
        agreements.sign(
            actor=actor,
            signature=signature,
            now=timezone.now(),
            how="by link",
            name=form.cleaned_data["name"],
        )
    except Refusal as refusal:
        form.add_error(refusal.field, refusal.message)
        return False
    return True


def _page(
    request: HttpRequest, page: AgreementPage, form: SignAgreementForm
) -> HttpResponse:
    response = render(
        request,
        "inspections/agreements/sign.html",
        {"page": page, "form": form, "firm_name": page.firm_name},
        status=400 if form.errors else 200,
    )
    return takes_a_form(response)
