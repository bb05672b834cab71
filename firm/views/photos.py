"""The owner's page of what phones send of a picture."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from firm.errors import Refusal
from firm.forms import PhotoPolicyForm
from firm.http import MemberRequest, member_view
from firm.services import photo_policy


@member_view
def firm_photos(request: MemberRequest) -> HttpResponse:
    request.actor.require("firm.decide")
    form = PhotoPolicyForm(request.POST or None, initial=_shown(request))
    if request.method == "POST" and form.is_valid():
        try:
            changed = photo_policy.decide(actor=request.actor, policy=_policy(form))
        except Refusal as refusal:
            form.add_error(refusal.field, refusal.message)
        else:
            messages.success(request, _said(changed=changed))
            return redirect("firm-photos", request.actor.firm.slug)
    status = 400 if form.errors else 200
    return render(request, "firm/settings/photos.html", {"form": form}, status=status)


def _shown(request: MemberRequest) -> dict[str, object]:
    held = photo_policy.of(request.actor.firm)
    kept = "keep" if held.originals else "drop"
    return {"originals": kept, "long_edge": held.long_edge, "quality": held.quality}


def _policy(form: PhotoPolicyForm) -> photo_policy.PhotoPolicy:
    given = form.cleaned_data
    return photo_policy.PhotoPolicy(
        originals=given["originals"] == "keep",
        long_edge=given["long_edge"],
        quality=given["quality"],
    )


def _said(*, changed: bool) -> str:
    if not changed:
        return "It was so already."
    return "Decided. A phone goes by it as soon as it has fetched its day again."
