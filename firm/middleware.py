"""What every answer carries, and how a refusal becomes a page."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from firm.errors import Refusal

Handler = Callable[[HttpRequest], HttpResponse]

_FEATURES = (
    "camera={own}, geolocation={own}, microphone=(), payment=(), usb=(), "
    "accelerometer=(), gyroscope=(), magnetometer=()"
)


def page_headers(get_response: Handler) -> Handler:
    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        field = request.path.startswith(("/f/", "/field/"))
        response.setdefault(
            "Permissions-Policy", _FEATURES.format(own="(self)" if field else "()")
        )
        response.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if request.path.startswith(("/r/", "/s/")):
            response.setdefault("Referrer-Policy", "no-referrer")
            response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
            response["Cache-Control"] = "private, no-store"
        elif not request.path.startswith("/static/"):
            response.setdefault("Cache-Control", "private, no-store")
        return response

    return middleware


class refusals_as_pages:  # noqa: N801
    """Show a refusal that no form has caught: message, and back where one was."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(
        self, request: HttpRequest, exception: Exception
    ) -> HttpResponse | None:
        if not isinstance(exception, Refusal):
            return None
        back = request.META.get("HTTP_REFERER", "")
        own = f"{request.scheme}://{request.get_host()}/"
        if exception.status == 409 and back.startswith(own):  # noqa: PLR2004
            for text in (exception.message, *exception.details):
                messages.error(request, text)
            return HttpResponseRedirect(back)
        return render(
            request,
            "firm/refused.html",
            {"refusal": exception},
            status=exception.status,
        )
