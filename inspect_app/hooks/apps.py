"""The hooks app."""

from django.apps import AppConfig


class HooksConfig(AppConfig):
    """Tells other programs what has happened here."""

    name = "inspect_app.hooks"
