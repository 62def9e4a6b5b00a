"""The engine over HTTP: guides and assessments of a record that is not kept."""

import json

from django.http import HttpResponse, HttpResponseNotModified
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request

from inspect_app.engine import api as engine
from inspect_app.inspections.guides import usual_guides, usual_guides_in_brotli
from inspect_app.inspections.json_answers import json_text_answer
from inspect_app.people.api import MemberView, RefusalSerializer


class GuidesView(MemberView):
    """Guides for the usual layouts; the same for everybody, so no sign-in is needed."""

    permission_classes = (AllowAny,)

    @extend_schema(operation_id="guides_read", responses=OpenApiTypes.OBJECT)
    def get(self, request: Request) -> HttpResponse:
        """{machine kind: guide}; unchanged ones are answered with 304."""
        body, tag = usual_guides()
        if request.headers.get("If-None-Match") == tag:
            answer: HttpResponse = HttpResponseNotModified()
        elif "br" in request.headers.get("Accept-Encoding", "").replace(" ", "").split(","):
            answer = json_text_answer(usual_guides_in_brotli())
            answer.headers["Content-Encoding"] = "br"
        else:
            answer = json_text_answer(body)
        answer.headers["ETag"] = tag
        answer.headers["Vary"] = "Accept-Encoding"
        answer.headers["Cache-Control"] = "no-cache"
        return answer


class GuideView(MemberView):
    """The guide for one machine."""

    @extend_schema(
        operation_id="guide_make",
        request=OpenApiTypes.OBJECT,
        responses={200: OpenApiTypes.OBJECT, 422: RefusalSerializer},
    )
    def post(self, request: Request) -> HttpResponse:
        """What to check, in which order, for the machine of this record."""
        record = request.data
        if isinstance(record, dict):
            record = {key: value for key, value in record.items() if key != "observations"}
        return json_text_answer(engine.guide(json.dumps(record, ensure_ascii=False)))


class MeasureView(MemberView):
    """A length read in a photograph."""

    @extend_schema(
        operation_id="length_measure",
        request=OpenApiTypes.OBJECT,
        responses={200: OpenApiTypes.OBJECT, 422: RefusalSerializer},
    )
    def post(self, request: Request) -> HttpResponse:
        """Length with its doubt, from touched points and a known width; nothing is kept."""
        return json_text_answer(engine.measure(json.dumps(request.data, ensure_ascii=False)))


class AssessView(MemberView):
    """The assessment of a record."""

    @extend_schema(
        operation_id="assessment_make",
        request=OpenApiTypes.OBJECT,
        responses={200: OpenApiTypes.OBJECT, 422: RefusalSerializer},
    )
    def post(self, request: Request) -> HttpResponse:
        """What the engine makes of it; nothing is kept."""
        return json_text_answer(engine.assess(json.dumps(request.data, ensure_ascii=False)))
