"""The demo."""

from django.apps import AppConfig


class DemoConfig(AppConfig):
    """One command that shows the whole program with an invented scenario."""

    name = "inspect_app.demo"
