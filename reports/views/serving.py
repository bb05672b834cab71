"""Answers that carry stored files."""

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified

from reports.services.files import StoredFile


def page(request: HttpRequest, file: StoredFile) -> HttpResponse:
    """Serve a stored page with the address's own policy."""
    return _answer(request, file, "text/html; charset=utf-8")


def picture(request: HttpRequest, file: StoredFile) -> HttpResponse:
    response = _answer(request, file, "image/jpeg")
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response


def download(request: HttpRequest, file: StoredFile, name: str) -> HttpResponse:
    response = _answer(request, file, "application/pdf")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response


def _answer(request: HttpRequest, file: StoredFile, media: str) -> HttpResponse:
    etag = f'"{file.sha256}"'
    if request.headers.get("If-None-Match") == etag:
        return HttpResponseNotModified()
    response = HttpResponse(file.content, content_type=media)
    response.headers["ETag"] = etag
    return response
