"""The built front end as it is served (case S05, and the policy of phone-engine.md point 8)."""

from pathlib import Path

import pytest
from django.conf import LazySettings
from django.test import Client


@pytest.fixture
def built(tmp_path: Path, settings: LazySettings) -> Client:
    """A tiny build, served by a freshly started server."""
    dist = tmp_path / "dist"
    (dist / "assets").mkdir(parents=True)
    (dist / "index.html").write_text("<!doctype html><title>start</title>")
    (dist / "sw.js").write_text("// worker")
    (dist / "assets" / "index-BxK2a9Qz.js").write_text("export {}")
    (dist / "assets" / "index-BxK2a9Qz.js.br").write_bytes(b"packed")
    settings.WHITENOISE_ROOT = dist
    return Client()


def test_the_start_page_is_asked_about_each_time(built: Client) -> None:
    answer = built.get("/")
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["Content-Type"].startswith("text/html")


def test_built_files_named_by_content_are_kept_for_good_and_sent_compressed(built: Client) -> None:
    answer = built.get("/assets/index-BxK2a9Qz.js", headers={"Accept-Encoding": "br"})
    assert "immutable" in answer.headers["Cache-Control"]
    assert answer.headers["Content-Encoding"] == "br"
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_the_worker_is_never_an_old_one(built: Client) -> None:
    assert built.get("/sw.js").headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize("path", ["/assets/index-OldHash99.js", "/nothing", "/index.php"])
def test_what_is_missing_is_404_and_never_the_start_page(built: Client, path: str) -> None:
    answer = built.get(path)
    assert answer.status_code == 404
    assert b"start" not in answer.content


@pytest.mark.parametrize("path", ["/", "/sw.js", "/assets/index-BxK2a9Qz.js", "/nothing"])
def test_the_content_policy_is_on_static_files_too(built: Client, path: str) -> None:
    headers = built.get(path).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self' 'wasm-unsafe-eval'" in policy
    assert "'unsafe-eval'" not in policy
    assert "'unsafe-inline'" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
