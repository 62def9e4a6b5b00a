from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from inspect_app.reports.pdf.document import PhotoForReport


@pytest.fixture
def photo(tmp_path: Path) -> Callable[..., PhotoForReport]:
    """A JPEG of print size and usual weight, unlike any other."""

    def _photo(name: str = "photo", **more: Any) -> PhotoForReport:
        path = tmp_path / name  # the store names files by their digest, without an ending
        Image.effect_noise((970, 728), 14).convert("RGB").save(path, "JPEG", quality=60)
        return PhotoForReport(**({"path": path, "caption": f"Photo {name}"} | more))

    return _photo
