"""What the house promises about itself."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
APPS = ("people", "machines", "photos", "inspections", "reports", "fleet", "exchange", "hooks")
HEAVY = (
    "PIL",
    "pillow_heif",
    "reportlab",
    "brotli",
    "gunicorn",
    "segno",
    "pyhanko",
    "cryptography",
)


def run(*command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command],
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=False,
    )


def test_imports_point_one_way() -> None:
    done = run("-c", "from importlinter.cli import lint_imports_command as c; c()")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("loaded", HEAVY)
def test_heavy_libraries_wait_until_they_are_needed(loaded: str) -> None:
    done = run(
        "-c",
        "import sys, inspect_app.wsgi, inspect_app.urls; "
        f"print({loaded!r} in sys.modules, 'rest_framework.views' in sys.modules)",
    )
    assert done.stdout.split() == ["False", "True"], done.stdout + done.stderr


def test_rows_are_reached_through_their_organisation_only() -> None:
    """`objects` sees every organisation: outside people/ and the admin nothing may use it."""
    guilty = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for app in APPS
        if app != "people"
        for path in (ROOT / "inspect_app" / app).glob("*.py")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Attribute)
        and node.attr in {"objects", "_default_manager", "_base_manager"}
    ]
    assert guilty == []


def test_only_the_check_page_and_the_queue_ask_about_the_rows_of_whoever() -> None:
    asking = sorted(
        path.relative_to(ROOT / "inspect_app").as_posix()
        for path in (ROOT / "inspect_app").rglob("*.py")
        if ".of_whoever(" in path.read_text()
    )
    # The queue of hooks is emptied for everybody at once; nothing of it is shown.
    assert asking == ["hooks/sending.py", "reports/checking.py"]


def test_no_migration_is_missing(tmp_path: Path) -> None:
    done = run(
        "manage.py", "makemigrations", "--check", "--dry-run", INSPECT_DATA_DIR=str(tmp_path)
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_api_describes_itself_without_a_warning(tmp_path: Path) -> None:
    done = run(
        "manage.py",
        "spectacular",
        "--validate",
        "--fail-on-warn",
        "--file",
        str(tmp_path / "schema.yml"),
    )
    assert done.returncode == 0, done.stdout + done.stderr
    text = (tmp_path / "schema.yml").read_text()
    assert text.startswith("openapi: 3.1.0")  # and --validate held it against the standard's schema
    assert "/api/sync" in text


def test_the_deploy_check_has_no_warning_under_the_documented_settings(tmp_path: Path) -> None:
    done = run(
        "manage.py",
        "check",
        "--deploy",
        "--fail-level",
        "WARNING",
        INSPECT_DATA_DIR=str(tmp_path),
        INSPECT_HTTPS="1",
        INSPECT_HOSTS="inspect.example.org",
        INSPECT_PROXIES="127.0.0.1",
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "no issues" in done.stdout


def test_the_secret_key_is_made_once_and_is_its_owners_alone(tmp_path: Path) -> None:
    made = [
        run(
            "-c",
            "import django.conf as c; print(c.settings.SECRET_KEY)",
            INSPECT_DATA_DIR=str(tmp_path / "new"),
            DJANGO_SETTINGS_MODULE="inspect_app.settings",
        ).stdout
        for _ in range(2)
    ]
    assert made[0] == made[1]
    assert len(made[0].strip()) > 50
    assert (tmp_path / "new" / "secret_key").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o700
