"""From which address a request comes, and how many of a kind it may make."""

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest

MINUTE = 60


def address_of(request: HttpRequest) -> str:
    """Return the caller's address; behind our proxy, the one the proxy saw."""
    if settings.FIRM_BEHIND_PROXY:
        seen = request.headers.get("X-Forwarded-For", "").split(",")
        if last := seen[-1].strip():
            return last
    return str(request.META.get("REMOTE_ADDR", ""))


def count(name: str, seconds: int = MINUTE) -> int:
    """Count one more of a kind in the current stretch of time; return how many."""
    key = f"count:{name}"
    cache.add(key, 0, seconds)
    try:
        return int(cache.incr(key))
    except ValueError:  # it ran out between the two calls
        cache.set(key, 1, seconds)
        return 1


def uncount(name: str) -> None:
    """Take one back: what was counted turned out to be wanted."""
    try:
        cache.decr(f"count:{name}")
    except ValueError:
        return
