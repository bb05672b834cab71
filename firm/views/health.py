"""Whether this process lives and can work, and the page for a stale form."""

from django.conf import settings
from django.core.cache import cache
from django.db import connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render


def healthz(_request: HttpRequest) -> HttpResponse:
    return JsonResponse({"alive": True, "version": settings.FIRM_VERSION})


def readyz(_request: HttpRequest) -> HttpResponse:
    """Say whether the database and the cache answer; 503 when one does not."""
    found = {"database": _database_answers(), "cache": _cache_answers()}
    return JsonResponse(found, status=200 if all(found.values()) else 503)


def robots(_request: HttpRequest) -> HttpResponse:
    """Ask machines to leave secret addresses alone; they guard themselves anyway."""
    paths = ("/r/", "/s/", "/f/", "/field/", "/api/")
    rules = "".join(f"Disallow: {path}\n" for path in paths)
    return HttpResponse(f"User-agent: *\n{rules}", content_type="text/plain")


def csrf_failed(request: HttpRequest, **_: str) -> HttpResponse:
    return render(request, "403_csrf.html", status=403)


def _database_answers() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("select 1 from firm_installation limit 1")
    except Exception:  # noqa: BLE001 - any failure means: not ready
        return False
    return True


def _cache_answers() -> bool:
    try:
        cache.set("readyz", 1, 5)
    except Exception:  # noqa: BLE001 - any failure means: not ready
        return False
    return True
