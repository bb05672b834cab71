"""Photos of the walk: one more at a stop, and the served copies."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.field import PhotoForm
from findings.forms.walk import say_why
from findings.selectors.field.stop import stop_page
from findings.selectors.review_photos import PREVIEW
from findings.services.field import photos
from findings.views.field import standing
from firm import storage
from firm.errors import Refusal
from firm.http import MemberRequest, member_view


@require_POST
@member_view
def photo_add(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.write(request, visit_id)
    about = request.GET.get("about", "")
    page = stop_page(base, stop_id, about)
    form = PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        picture = form.picture(str(stop_id), about if about in base.records else "")
        try:
            photos.add(
                actor=base.actor, visit=base.visit, picture=picture, now=timezone.now()
            )
        except Refusal as refusal:
            say_why(form, refusal)
        else:
            return redirect(f"{base.url('stop-read', stop_id)}#photos")
    context = {"page": page, "photo_form": form}
    return render(request, "findings/field/stop.html", context, status=400)


@member_view
def photo_read(request: MemberRequest, photo_id: UUID, size: str) -> HttpResponse:
    """Serve a copy to somebody of the firm who may read the visit's contents."""
    if size == PREVIEW:
        row = access.preview_to_read(request.actor, photo_id)
        # It changes into the photo itself at any moment: nothing may keep it.
        return _jpeg(bytes(row.content), f"{photo_id}-{size}", "private, no-store")
    bare = request.GET.get("marks") == "off"
    find = access.unmarked_to_read if bare else access.rendition_to_read
    copy = find(request.actor, photo_id, size)
    if not storage.has(copy.storage_key):
        raise Http404
    content = storage.get(copy.storage_key)
    return _jpeg(content, f"{photo_id}-{size}", "private, max-age=3600")


def _jpeg(content: bytes, name: str, kept: str) -> HttpResponse:
    response = HttpResponse(content, content_type="image/jpeg")
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = kept
    response["Content-Disposition"] = f'inline; filename="{name}.jpg"'
    return response
