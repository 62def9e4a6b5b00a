"""/api/schemas and what goes out as data."""

from django.urls import path

from inspect_app.exchange.api import (
    FindingsView,
    InspectionFindingsView,
    ReportDocumentView,
    SchemasView,
    SchemaView,
)
from inspect_app.exchange.archive_api import ArchiveView

urlpatterns = [
    path("archive", ArchiveView.as_view()),
    path("schemas", SchemasView.as_view()),
    path("schemas/<str:name>", SchemaView.as_view()),
    path("findings.csv", FindingsView.as_view()),
    path("inspections/<uuid:inspection_id>/findings.csv", InspectionFindingsView.as_view()),
    path("reports/<uuid:report_id>.json", ReportDocumentView.as_view()),
]
