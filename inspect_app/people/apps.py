"""The people app."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """Organisations, their members, and how they sign in."""

    name = "inspect_app.people"
