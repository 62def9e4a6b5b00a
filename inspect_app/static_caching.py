"""How long browsers may keep the built files.  Read by the settings: imports nothing of Django."""

import re
from wsgiref.headers import Headers

NAMED_BY_CONTENT = re.compile(
    r"^/(assets/.+[-.][A-Za-z0-9_-]{8,}\.[a-z0-9.]+"
    r"|python/(runtime-[0-9a-f]{12}/.+|engine-[0-9a-f]{12}\.bin))$"
)


def is_named_by_content(_path: str, url: str) -> bool:
    """True for a built file whose name holds the hash of its content: it never changes."""
    return NAMED_BY_CONTENT.match(url) is not None


def add_cache_header(headers: Headers, _path: str, url: str) -> None:
    """Page, service worker and manifest are asked about each time: else an update never comes."""
    if not is_named_by_content(_path, url):
        headers["Cache-Control"] = "no-cache"
