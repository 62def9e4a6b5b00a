"""What is served where; the built front end is WhiteNoise's (settings.WHITENOISE_ROOT)."""

from django.contrib import admin
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView
from rest_framework.permissions import AllowAny

from inspect_app.people import schema  # noqa: F401 - describes signing in

api: list[URLPattern | URLResolver] = [
    path("", include("inspect_app.people.urls")),
    path("", include("inspect_app.hooks.urls")),
    path("", include("inspect_app.machines.urls")),
    path("", include("inspect_app.photos.urls")),
    path("", include("inspect_app.inspections.urls")),
    path("", include("inspect_app.reports.urls")),
    path("", include("inspect_app.exchange.urls")),
    path("schema", SpectacularAPIView.as_view(permission_classes=[AllowAny])),
]
urlpatterns = [
    path("api/", include(api)),
    path("admin/", admin.site.urls),
    path("check/", include("inspect_app.reports.check_urls")),
]
handler400 = "inspect_app.api_errors.bad_request"
handler404 = "inspect_app.api_errors.page_not_found"
handler500 = "inspect_app.api_errors.server_fault"
