"""The stored files of a release, for members of the firm."""

from uuid import UUID

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from firm.http import MemberRequest, member_view
from reports import access
from reports.services import files
from reports.views import serving
from reports.views.share import file_name


@require_GET
@member_view
def release_web(request: MemberRequest, release_id: UUID) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    return serving.page(request, files.artefact(release, "web"))


@require_GET
@member_view
def release_gallery(request: MemberRequest, release_id: UUID) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    return serving.page(request, files.artefact(release, "gallery"))


@require_GET
@member_view
def release_pdf(request: MemberRequest, release_id: UUID) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    return serving.download(request, files.artefact(release, "pdf"), file_name(release))


@require_GET
@member_view
def release_photo(
    request: MemberRequest, release_id: UUID, photo_id: UUID, size: str
) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    return serving.picture(request, files.photo(release, str(photo_id), size))
