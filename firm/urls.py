"""Every address, by including each app's own list."""

from django.contrib import admin
from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView

from firm.api.session import SessionApi
from firm.api.sign_in import SignInApi, SignOutApi
from firm.views import account, health, photos

urlpatterns = [
    path("", account.home, name="home"),
    path("sign-in/", account.SignIn.as_view(), name="sign-in"),
    path("sign-out/", account.SignOut.as_view(), name="sign-out"),
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
    path("robots.txt", health.robots, name="robots"),
    path("operator/", admin.site.urls),
    path("f/<slug:firm_slug>/pictures/", photos.firm_photos, name="firm-photos"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
    path("api/session", SessionApi.as_view(), name="api-session-read"),
    path("api/session/sign-in", SignInApi.as_view(), name="api-sign-in"),
    path("api/session/sign-out", SignOutApi.as_view(), name="api-sign-out"),
    path("", include("inspections.urls")),
    path("", include("findings.urls")),
    path("", include("reports.urls")),
]
