"""The exchange app."""

from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    """What goes out and comes in as data."""

    name = "inspect_app.exchange"
