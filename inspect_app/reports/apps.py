"""The reports app."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """Reports as they were issued."""

    name = "inspect_app.reports"
