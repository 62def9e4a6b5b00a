"""A whole organisation out and in, for those who manage it."""

import io
import tempfile
from collections.abc import Mapping
from typing import IO, Any

from django.conf import settings
from django.http import StreamingHttpResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.exchange.archive_in import bring_in
from inspect_app.exchange.archive_out import archive_of
from inspect_app.exchange.archive_zip import ArchiveRefused
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.strict_json import too_large

_PIECE_BYTES = 256 * 1024


class ArchiveBytesParser(BaseParser):
    """The body in a file beside, piece by piece."""

    media_type = "*/*"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> dict[str, IO[bytes]]:
        """The file under "archive"; raises Refusal 413."""
        most = settings.ARCHIVE_MAX_BYTES
        meta = parser_context["request"].META if parser_context else {}
        if str(meta.get("CONTENT_LENGTH") or "").isdigit() and int(meta["CONTENT_LENGTH"]) > most:
            raise too_large(most)
        file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115 - the view closes it
        size = 0
        while piece := stream.read(_PIECE_BYTES):
            size += len(piece)
            if size > most:
                file.close()
                raise too_large(most)
            file.write(piece)
        return {"archive": file}


class BroughtInSerializer(serializers.Serializer[Any]):
    """What an archive added, by table; nothing the second time."""

    added = serializers.DictField(child=serializers.IntegerField())


class ArchiveView(MemberView):
    """Everything the organisation has here, as one file."""

    parser_classes = (ArchiveBytesParser,)
    is_export = True

    @extend_schema(
        operation_id="archive_read",
        responses={(200, "application/zip"): OpenApiTypes.BINARY, 403: RefusalSerializer},
    )
    def get(self, _request: Request) -> StreamingHttpResponse:
        """suspension-archive/1: rows, original photos and PDFs, each with its SHA-256."""
        self.check_manages()
        answer = StreamingHttpResponse(
            archive_of(self.organisation), content_type="application/zip"
        )
        name = f"archive-{timezone.now():%Y-%m-%d}.zip"
        answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
        return answer

    @extend_schema(
        operation_id="archive_bring_in",
        request={"application/zip": OpenApiTypes.BINARY},
        responses={
            200: BroughtInSerializer,
            403: RefusalSerializer,
            413: RefusalSerializer,
            422: RefusalSerializer,
        },
    )
    def post(self, request: Request) -> Response:
        """Add what it holds and is not here yet: all of it, or nothing and every reason why."""
        self.check_manages()
        if self.organisation.is_private:
            raise Refusal(
                code="forbidden", status=403, detail="Ask who keeps this server to bring it in."
            )
        data = request.data
        file = data.get("archive") if isinstance(data, dict) else None
        if not isinstance(file, io.FileIO):
            raise Refusal(code="bad_request", detail="Send the archive as the body.")
        try:
            found = bring_in(file, organisation=self.organisation, by=self.member)
        except ArchiveRefused as refused:
            raise _refusal(refused) from None
        finally:
            file.close()
        return Response({"added": found.added})


def _refusal(refused: ArchiveRefused) -> Refusal:
    count = len(refused.problems)
    return Refusal(
        code="archive_refused",
        detail=f"The archive has {count} problem{'s' if count != 1 else ''}. Nothing was added.",
        status=422,
        fields=refused.problems,
    )
