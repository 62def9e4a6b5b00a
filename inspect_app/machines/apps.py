"""The machines app."""

from django.apps import AppConfig


class MachinesConfig(AppConfig):
    """Machines, the distance they ran, the service they had."""

    name = "inspect_app.machines"
