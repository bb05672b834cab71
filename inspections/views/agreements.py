"""The page on which a client reads and signs the agreement: no login, one link."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from firm.access import firm_behind
from firm.actor import Actor
from firm.errors import Refusal
from firm.tenancy import bound
from inspections.access import signature_by_token
from inspections.forms.bookings import SignAgreementForm
from inspections.selectors.bookings import agreement_page
from inspections.services import agreements


@require_http_methods(["GET", "HEAD", "POST"])
def agreement_sign(request: HttpRequest, token: str) -> HttpResponse:
    """Show the frozen text; only a POST with a typed name signs."""
    firm = firm_behind(token)
    if firm is None:
        raise Http404
    now = timezone.now()
    with bound(firm.pk):
        signature = signature_by_token(token)
        page = agreement_page(firm, signature)
        if signature.signed_at is None and signature.expires_at <= now:
            context = {"firm_name": firm.name}
            return render(
                request, "inspections/agreements/gone.html", context, status=410
            )
        form = SignAgreementForm(request.POST or None)
        if request.method == "POST" and form.is_valid():
            actor = Actor.link(firm, page.client, signature.pk)
            try:
                agreements.sign(
                    actor=actor,
                    signature=signature,
                    now=now,
                    how="by link",
                    name=form.cleaned_data["name"],
                )
            except Refusal as refusal:
                form.add_error(refusal.field, refusal.message)
            else:
                return redirect(request.path)
        return render(
            request,
            "inspections/agreements/sign.html",
            {"page": page, "form": form, "firm_name": firm.name},
            status=400 if form.errors else 200,
        )
