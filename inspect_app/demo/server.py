"""The production server, started from Python: the same one that a real installation runs."""

from collections.abc import Callable
from typing import Any

from django.core.wsgi import get_wsgi_application
from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]


class DemoServer(BaseApplication):  # type: ignore[misc]
    """Gunicorn with two workers of four threads on one address."""

    def __init__(self, address: str, *, when_ready: Callable[[], None]) -> None:
        self.address = address
        self.when_ready = when_ready
        super().__init__()

    def load_config(self) -> None:
        """What the command line would otherwise say."""
        values: dict[str, Any] = {
            "bind": self.address,
            "workers": 2,
            "worker_class": "gthread",
            "threads": 4,
            "loglevel": "warning",
            "when_ready": lambda _server: self.when_ready(),
        }
        for name, value in values.items():
            self.cfg.set(name, value)

    def load(self) -> Any:  # noqa: ANN401 - a WSGI application
        """The application."""
        return get_wsgi_application()
