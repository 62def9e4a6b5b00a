"""The photos app."""

from django.apps import AppConfig


class PhotosConfig(AppConfig):
    """Photos as taken, and the sizes made from them."""

    name = "inspect_app.photos"
