"""Photos as they are served: always a JPEG of ours, never the original."""

from collections.abc import Mapping
from typing import IO, Any

from django.conf import settings
from django.http import FileResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from inspect_app.api_errors import Refusal
from inspect_app.people.api import MemberView
from inspect_app.photos.files import Size
from inspect_app.photos.selectors import opened_photo
from inspect_app.strict_json import read_at_most


class PhotoBytesParser(BaseParser):
    """The body as it is; what it is, is found out by looking at it."""

    media_type = "*/*"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> dict[str, bytes]:
        """All bytes under "original"; raises Refusal 413."""
        limit = settings.PHOTO_MAX_BYTES
        return {"original": read_at_most(stream, limit, parser_context)}


class PhotoFileView(MemberView):
    """One size of a photo."""

    size = Size.DISPLAY

    @extend_schema(
        responses={(200, "image/jpeg"): OpenApiTypes.BINARY},
    )
    def get(self, _request: Request, sha256: str) -> FileResponse:
        """The JPEG."""
        file = opened_photo(self.organisation, sha256, self.size)
        if file is None:
            raise Refusal(code="not_found", detail="There is no such photo here.", status=404)
        return FileResponse(file, content_type="image/jpeg", filename=f"{self.size}.jpg")


@extend_schema_view(get=extend_schema(operation_id="photo_display"))
class DisplayView(PhotoFileView):
    """1600 px."""

    size = Size.DISPLAY


@extend_schema_view(get=extend_schema(operation_id="photo_thumbnail"))
class ThumbnailView(PhotoFileView):
    """320 px."""

    size = Size.THUMBNAIL
