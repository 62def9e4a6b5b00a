"""The cast that meets the server: owner, colleague, reader, stranger, signed-out."""

import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from hypothesis import settings as hypothesis_settings

from tests.phone import Caller

SIGN_IN_WORDS = "a long enough password"


@pytest.fixture(autouse=True)
def _private_files(settings: LazySettings, tmp_path: Path) -> None:
    """No test writes into the data folder; passwords are hashed fast."""
    settings.DATA_DIR = tmp_path
    settings.STORAGES = {
        **settings.STORAGES,
        **{
            name: {
                "BACKEND": "django.core.files.storage.FileSystemStorage",
                "OPTIONS": {"location": tmp_path / name},
            }
            for name in ("photos", "reports")
        },
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def person(db: None) -> Callable[..., Any]:
    """Makes a member of the named organisation."""
    from inspect_app.people.models import Organisation
    from inspect_app.people.services import add_member, add_organisation

    def make(organisation: str, *, role: str = "inspector", name: str = "") -> Any:
        found = Organisation.objects.filter(name=organisation).first()
        return add_member(
            organisation=found or add_organisation(name=organisation),
            username=name or uuid.uuid4().hex,
            name=name or "Somebody",
            role=role,
            password=SIGN_IN_WORDS,
        )

    return make


@pytest.fixture
def owner(person: Callable[..., Any]) -> Caller:
    return Caller(person("Kiln yard", role="manager", name="Ada"))


@pytest.fixture
def colleague(owner: Caller, person: Callable[..., Any]) -> Caller:
    return Caller(person("Kiln yard", name="Bo"))


@pytest.fixture
def reader(owner: Caller, person: Callable[..., Any]) -> Caller:
    return Caller(person("Kiln yard", role="reader", name="Cy"))


@pytest.fixture
def stranger(person: Callable[..., Any]) -> Caller:
    return Caller(person("Other yard", role="manager", name="Dee"))


@pytest.fixture
def signed_out(db: None) -> Caller:
    return Caller()


# A shared machine may stall for a moment: how long one example takes proves nothing.
hypothesis_settings.register_profile("steady", deadline=None)
hypothesis_settings.load_profile("steady")
