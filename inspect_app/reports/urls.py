"""/api/reports and the issuing of them."""

from django.urls import path

from inspect_app.reports.api import IssueReportView, ReportPdfView

urlpatterns = [
    path("inspections/<uuid:inspection_id>/reports", IssueReportView.as_view()),
    path("reports/<uuid:report_id>.pdf", ReportPdfView.as_view()),
]
