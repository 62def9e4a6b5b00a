"""The sync call, and inspections as they are read."""

from datetime import date
from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.inspections.assessing import assess_inspection, summarise_closed
from inspect_app.inspections.changes import FIELDS
from inspect_app.inspections.closing import settle_closings_waiting_for_photos
from inspect_app.inspections.cursor import Cursor, OtherLog, read_cursor
from inspect_app.inspections.json_answers import json_text_answer
from inspect_app.inspections.models import Change, Inspection
from inspect_app.inspections.record import Revision, disagreements_of, photo_uses_of, record_of
from inspect_app.inspections.selectors import changes_after, inspection_of, inspections_of
from inspect_app.inspections.services import receive_changes
from inspect_app.machines.api import PAGE_PARAMETER
from inspect_app.paging import page_of
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.photos.api import PhotoBytesParser
from inspect_app.photos.services import keep_photo

# As many rows as SQLite takes in one statement (999 values): a batch is five statements, always.
MOST_CHANGES_SENT = 75
OTHER_LOG = (
    "The server's data were lost or put back from a copy: it lacks what this phone has seen."
)


class SentChangeSerializer(serializers.Serializer[Any]):
    """A change from a phone."""

    id = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=list(FIELDS))
    body = serializers.DictField()


class SyncSerializer(serializers.Serializer[Any]):
    """What a phone sends."""

    device = serializers.CharField(max_length=80)
    cursor = serializers.CharField(allow_null=True, help_text="as the last answer gave it")
    changes = SentChangeSerializer(many=True)


class ResultSerializer(serializers.Serializer[Any]):
    """What became of one change."""

    id = serializers.CharField()
    outcome = serializers.ChoiceField(choices=["accepted", "already", "refused"])
    why = serializers.CharField(allow_null=True)
    position = serializers.IntegerField(allow_null=True)


class LoggedChangeSerializer(SentChangeSerializer):
    """A change from the log."""

    kind = serializers.ChoiceField(choices=Change.Kind.choices)
    position = serializers.IntegerField()
    by = serializers.CharField()
    received_at = serializers.DateTimeField()


class SyncAnswerSerializer(serializers.Serializer[Any]):
    """What a phone is told."""

    results = ResultSerializer(many=True)
    changes = LoggedChangeSerializer(many=True)
    cursor = serializers.CharField()
    more = serializers.BooleanField()


class PhotoKeptSerializer(serializers.Serializer[Any]):
    """A photo that is safe here."""

    sha256 = serializers.CharField()
    kept = serializers.BooleanField()
    width = serializers.IntegerField()
    height = serializers.IntegerField()


class InspectionSerializer(serializers.Serializer[Any]):
    """An inspection's row."""

    id = serializers.UUIDField(source="phone_id")
    machine = serializers.UUIDField(source="machine_phone_id", allow_null=True)
    inspected_on = serializers.DateField()
    purpose = serializers.SerializerMethodField()
    label = serializers.SerializerMethodField()  # type: ignore[assignment]
    closed_at = serializers.DateTimeField(allow_null=True)
    closed_by = serializers.CharField(source="closed_by.name", default=None, allow_null=True)
    summary = serializers.DictField(allow_null=True)

    def get_purpose(self, inspection: Inspection) -> str:
        """As in the header, or empty."""
        purpose = inspection.header.get("purpose")
        return purpose if isinstance(purpose, str) else ""

    def get_label(self, inspection: Inspection) -> str:
        """The machine's label as in the header, or empty."""
        machine = inspection.header.get("machine")
        label = machine.get("label") if isinstance(machine, dict) else None
        return label if isinstance(label, str) else ""


class RevisionSerializer(serializers.Serializer[Any]):
    """One of several current revisions of one place."""

    id = serializers.CharField()
    observation = serializers.DictField(allow_null=True)
    recorded_at = serializers.CharField()
    received_at = serializers.DateTimeField()
    by = serializers.CharField()


class DisagreementSerializer(serializers.Serializer[Any]):
    """A place about which two people wrote without seeing each other."""

    checkpoint = serializers.CharField()
    at = serializers.CharField(allow_null=True)
    part = serializers.CharField(allow_null=True)
    used = serializers.CharField()
    revisions = RevisionSerializer(many=True)


class InspectionDetailSerializer(InspectionSerializer):
    """An inspection with what lists do not show."""

    header = serializers.DictField()
    photos = serializers.ListField(child=serializers.DictField())
    disagreements = DisagreementSerializer(many=True)


class InspectionPageSerializer(serializers.Serializer[Any]):
    """A page of inspections."""

    rows = InspectionSerializer(many=True)
    next = serializers.CharField(allow_null=True)


class SyncView(MemberView):
    """Changes in, changes out."""

    @extend_schema(
        operation_id="sync",
        request=SyncSerializer,
        responses={
            200: SyncAnswerSerializer,
            409: RefusalSerializer,
            413: RefusalSerializer,
        },
    )
    def post(self, request: Request) -> Response:
        """Keep what was sent, answer what others sent.

        What was sent is kept even where the answer is that the cursor is of another log: it is
        answered as kept before once the phone has begun anew.
        """
        device, cursor, sent = _read_sync(request.data)
        results = receive_changes(member=self.member, device=device, sent=sent)
        own = {
            result.position: result.logged_as
            for result in results
            if result.position is not None and result.logged_as is not None
        }
        try:
            changes, new_cursor, more = changes_after(self.organisation, cursor, leave_out=own)
        except OtherLog:
            raise Refusal(code="other_log", detail=OTHER_LOG, status=409) from None
        return Response(
            {
                "results": [
                    {
                        "id": result.id,
                        "outcome": result.outcome,
                        "why": result.why,
                        "position": result.position,
                    }
                    for result in results
                ],
                "changes": changes,
                "cursor": str(new_cursor),
                "more": more,
            }
        )


def _read_sync(data: Any) -> tuple[str, Cursor, list[object]]:  # noqa: ANN401 - JSON
    wrong: dict[str, str] = {}
    body = data if isinstance(data, dict) else {}
    device, cursor, changes = body.get("device"), body.get("cursor"), body.get("changes")
    if not isinstance(device, str) or not 0 < len(device) <= 80:
        wrong["device"] = "Write a text of 1 to 80 characters."
    position = read_cursor(cursor)
    if position is None:
        wrong["cursor"] = "Send back the cursor of the last answer, or null."
    if not isinstance(changes, list):
        wrong["changes"] = "Write a list of changes."
    if wrong or device is None or changes is None or position is None:
        raise Refusal(code="bad_request", detail="The sync call is not complete.", fields=wrong)
    if len(changes) > MOST_CHANGES_SENT:
        raise Refusal(
            code="too_large",
            detail=f"At most {MOST_CHANGES_SENT} changes can be sent at once.",
            status=413,
        )
    return device, position, changes


class KeepPhotoView(MemberView):
    """The bytes of a photo."""

    parser_classes = (PhotoBytesParser,)

    @extend_schema(
        operation_id="photo_keep",
        request={"application/octet-stream": OpenApiTypes.BINARY},
        responses={
            200: PhotoKeptSerializer,
            400: RefusalSerializer,
            413: RefusalSerializer,
        },
    )
    def put(self, request: Request, sha256: str) -> Response:
        """Keep the photo; says so only after its hash was checked and it was wholly decoded."""
        sent: Any = request.data  # empty where there is no body at all
        original = sent.get("original", b"")
        photo = keep_photo(
            organisation=self.organisation,
            sha256=sha256,
            original=original,
            content_digest=request.headers.get("Content-Digest"),
        )
        summarise_closed(settle_closings_waiting_for_photos(self.organisation))
        return Response(
            {"sha256": sha256, "kept": True, "width": photo.width, "height": photo.height}
        )


class InspectionListView(MemberView):
    """All inspections."""

    @extend_schema(
        operation_id="inspections_list",
        parameters=[PAGE_PARAMETER],
        responses=InspectionPageSerializer,
    )
    def get(self, request: Request) -> Response:
        """One page, latest day first."""
        page, mark = page_of(
            inspections_of(self.organisation),
            by="inspected_on",
            descending=True,
            after=request.query_params.get("after"),
            value_of=lambda inspection: inspection.inspected_on.isoformat(),
            read_value=date.fromisoformat,
        )
        return Response({"rows": InspectionSerializer(page, many=True).data, "next": mark})


class OfAnInspectionView(MemberView):
    """What is told of one of the caller's own inspections."""

    def inspection(self, phone_id: UUID) -> Inspection:
        """The caller's own inspection; raises Refusal 404 for everybody else's."""
        found = inspection_of(self.organisation, phone_id)
        if found is None:
            raise Refusal(code="not_found", detail="There is no such inspection here.", status=404)
        found.organisation = self.organisation
        return found


class InspectionView(OfAnInspectionView):
    """One inspection."""

    @extend_schema(
        operation_id="inspection_read",
        responses={200: InspectionDetailSerializer, 404: RefusalSerializer},
    )
    def get(self, _request: Request, inspection_id: UUID) -> Response:
        """The row, the header, what pictures show, and what people disagree about."""
        inspection = self.inspection(inspection_id)
        row = dict(InspectionSerializer(inspection).data)
        row["header"] = inspection.header
        row["photos"] = photo_uses_of(inspection)
        row["disagreements"] = [_disagreement(found) for found in disagreements_of(inspection)]
        return Response(row)


def _disagreement(revisions: list[Revision]) -> dict[str, Any]:
    checkpoint, at, part = revisions[-1].place
    return {
        "checkpoint": checkpoint,
        "at": at or None,
        "part": part or None,
        "used": revisions[-1].id,
        "revisions": RevisionSerializer(revisions, many=True).data,
    }


class RecordView(InspectionView):
    """The record."""

    @extend_schema(
        operation_id="inspection_record",
        responses={200: OpenApiTypes.OBJECT, 404: RefusalSerializer},
    )
    def get(self, _request: Request, inspection_id: UUID) -> Response:
        """Header + current revisions, as the engine reads it."""
        return Response(record_of(self.inspection(inspection_id)))


class AssessmentView(InspectionView):
    """The assessment."""

    @extend_schema(
        operation_id="inspection_assessment",
        responses={
            200: OpenApiTypes.OBJECT,
            404: RefusalSerializer,
            422: RefusalSerializer,
        },
    )
    def get(self, _request: Request, inspection_id: UUID) -> Any:  # noqa: ANN401 - JSON as text
        """What the engine makes of the record as of now."""
        _, assessment = assess_inspection(self.inspection(inspection_id))
        return json_text_answer(assessment)
