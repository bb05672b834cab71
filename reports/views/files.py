"""The stored files of a release, for members of the firm."""

from uuid import UUID

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from firm.http import MemberRequest, member_view
from reports import access
from reports.services import attachments, cuts, files, zipped
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
    kinds = request.headers.get("Accept", "")
    return serving.picture(request, files.photo(release, str(photo_id), size, kinds))


@require_GET
@member_view
def release_zip(request: MemberRequest, release_id: UUID) -> HttpResponseBase:
    release = access.released_to_read(request.actor, release_id)
    return serving.archive(
        zipped.photos(release, whole=True), f"{release.number}-photos.zip"
    )


@require_GET
@member_view
def release_trade(
    request: MemberRequest, release_id: UUID, trade_key: str
) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    cut = cuts.trade_cut(release, trade_key, whole=True)
    name = f"{release.number}-{trade_key}.pdf"
    return serving.download(request, cuts.as_pdf(release, cut), name)


@require_GET
@member_view
def release_paper(
    request: MemberRequest, release_id: UUID, sha256: str
) -> HttpResponse:
    release = access.released_to_read(request.actor, release_id)
    file, name = attachments.listed(release, sha256)
    return serving.download(request, file, name, "application/octet-stream")


@require_GET
@member_view
def release_reader_page(
    request: MemberRequest, release_id: UUID, page: str
) -> HttpResponse:
    """Lead from a page that only readers have to the firm's page beside it."""
    release = access.released_to_read(request.actor, release_id)
    name = "question-list" if page == "questions" else "release-read"
    return redirect(name, request.actor.firm.slug, release.visit_id)
