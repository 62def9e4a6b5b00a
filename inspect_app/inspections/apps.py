"""The inspections app."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """What was seen: the log of changes from phones, and the records derived from it."""

    name = "inspect_app.inspections"
