"""The staff pages open, and the log and reports cannot be changed there."""

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from inspect_app.inspections.models import Change
from inspect_app.reports.models import Report
from tests.phone import Caller, inspection_change, machine_change

pytestmark = pytest.mark.django_db


def test_every_list_and_page_opens_for_staff(owner: Caller, admin_client: Client) -> None:
    owner.sync(machine_change(), inspection_change())
    for model in admin.site._registry:
        name = f"admin:{model._meta.app_label}_{model._meta.model_name}"
        assert admin_client.get(reverse(f"{name}_changelist")).status_code == 200
        row = model._default_manager.first()
        if row is not None:
            assert admin_client.get(reverse(f"{name}_change", args=[row.pk])).status_code == 200


@pytest.mark.parametrize("model", [Change, Report])
def test_what_is_append_only_has_no_add_page(model: type, admin_client: Client) -> None:
    name = f"admin:{model._meta.app_label}_{model._meta.model_name}_add"  # type: ignore[attr-defined]
    assert admin_client.get(reverse(name)).status_code == 403


def test_members_are_not_staff(owner: Caller) -> None:
    assert owner.get("/admin/").status_code == 302
