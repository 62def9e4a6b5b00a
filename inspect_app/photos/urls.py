"""/api/photos: reading; keeping is in inspections, which may be waiting for the photo."""

from django.urls import path, register_converter

from inspect_app.photos.api import DisplayView, ThumbnailView


class Sha256Converter:
    """64 hexadecimal digits."""

    regex = "[0-9a-f]{64}"

    def to_python(self, value: str) -> str:
        """As it is."""
        return value

    def to_url(self, value: str) -> str:
        """As it is."""
        return value


register_converter(Sha256Converter, "sha256")

urlpatterns = [
    path("photos/<sha256:sha256>/display", DisplayView.as_view()),
    path("photos/<sha256:sha256>/thumbnail", ThumbnailView.as_view()),
]
