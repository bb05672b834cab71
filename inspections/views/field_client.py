"""The field client's page, its worker and its manifest: the same for every firm."""

import json
from typing import cast

from csp.decorators import csp_update
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.views.decorators.http import require_GET

from inspections.selectors.shell import ROOT, shell


@require_GET
def shell_read(request: HttpRequest, **_screen: str) -> HttpResponse:
    """Give the page; it holds no data of anybody, so that a phone may keep it."""
    made = shell()
    # By hash, not nonce: it stays right in the copy that a phone keeps.
    page = csp_update({"script-src": [made.import_map_hash]})(_page)
    return cast(HttpResponse, page(request))


def _page(request: HttpRequest) -> HttpResponse:
    answer = render(request, "inspections/field/shell.html", {"shell": shell()})
    answer["Cache-Control"] = "no-cache"
    return answer


@require_GET
def worker_read(_request: HttpRequest) -> HttpResponse:
    """Give the worker with the list of files that make up this version."""
    made = shell()
    head = json.dumps({"version": made.version, "files": made.files})
    body = (ROOT / "js/field/worker.js").read_text()
    answer = HttpResponse(f"const SHELL = {head};\n{body}", "text/javascript")
    answer["Cache-Control"] = "no-cache"
    answer["Service-Worker-Allowed"] = "/field/"
    return answer


@require_GET
def manifest_read(_request: HttpRequest) -> JsonResponse:
    """Say how the client stands on a phone's home screen."""
    icons = [("img/kingpost.svg", "any", "image/svg+xml", "any")]
    icons += [
        (f"img/on-site-{n}.png", f"{n}x{n}", "image/png", "any maskable")
        for n in (192, 512)
    ]
    answer = JsonResponse(
        {
            "id": "/field/",
            "name": "Kingpost on site",
            "short_name": "On site",
            "start_url": "/field/",
            "scope": "/field/",
            "display": "standalone",
            "background_color": "#fbf9f4",
            "theme_color": "#fbf9f4",
            "icons": [
                {"src": static(src), "sizes": size, "type": kind, "purpose": use}
                for src, size, kind, use in icons
            ],
        }
    )
    answer["Content-Type"] = "application/manifest+json"
    answer["Cache-Control"] = "no-cache"
    return answer
