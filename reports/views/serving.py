"""Answers that carry stored files."""

from typing import IO

from django.http import (
    FileResponse,
    HttpRequest,
    HttpResponse,
    HttpResponseNotModified,
)

from reports.services.files import StoredFile

SANDBOX = "sandbox; default-src 'none'"


def page(request: HttpRequest, file: StoredFile) -> HttpResponse:
    """Serve a stored page with the address's own policy."""
    return _answer(request, file, "text/html; charset=utf-8")


def picture(request: HttpRequest, file: StoredFile) -> HttpResponse:
    response = _answer(request, file, file.media)
    response.headers["Content-Security-Policy"] = SANDBOX
    response.headers["Vary"] = "Accept"
    return response


def download(
    request: HttpRequest, file: StoredFile, name: str, media: str = "application/pdf"
) -> HttpResponse:
    response = _answer(request, file, media)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.headers["Content-Security-Policy"] = SANDBOX
    return response


def archive(file: IO[bytes], name: str) -> FileResponse:
    """Send a file that was made for this answer alone; it is gone with it."""
    response = FileResponse(
        file, as_attachment=True, filename=name, content_type="application/zip"
    )
    response.headers["Content-Security-Policy"] = SANDBOX
    return response


def _answer(request: HttpRequest, file: StoredFile, media: str) -> HttpResponse:
    etag = f'"{file.sha256}"'
    if request.headers.get("If-None-Match") == etag:
        return HttpResponseNotModified()
    response = HttpResponse(file.content, content_type=media)
    response.headers["ETag"] = etag
    return response
