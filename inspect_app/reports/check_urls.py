"""/check: outside /api, for people without an account."""

from django.urls import path

from inspect_app.reports.check_page import check_report

urlpatterns = [
    path("", check_report, name="check-page"),
    path("<str:code>", check_report, name="check-report"),
]
