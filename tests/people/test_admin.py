"""The staff pages open, and the log and reports cannot be changed there."""

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from inspect_app.inspections.models import Change, Inspection
from inspect_app.machines.models import Machine
from inspect_app.photos.models import Photo
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


@pytest.mark.parametrize("model", [Change, Inspection, Machine, Photo, Report])
def test_what_phones_hold_too_is_neither_added_nor_deleted_here(
    model: type, owner: Caller, admin_client: Client
) -> None:
    owner.sync(machine_change(), inspection_change())
    name = f"admin:{model._meta.app_label}_{model._meta.model_name}"  # type: ignore[attr-defined]
    assert admin_client.get(reverse(f"{name}_add")).status_code == 403
    row = model._default_manager.first()  # type: ignore[attr-defined]
    if row is not None:
        page = reverse(f"{name}_delete", args=[row.pk])
        assert admin_client.post(page, {"post": "yes"}).status_code == 403
        assert model._default_manager.filter(pk=row.pk).exists()  # type: ignore[attr-defined]


def test_staff_note_a_service_and_leave_the_machine_as_phones_know_it(
    owner: Caller, admin_client: Client
) -> None:
    owner.sync(machine_change(label="Unit 7"))
    machine = Machine.objects.get()
    given = {
        "label": "Unit 8", "distances-TOTAL_FORMS": 0, "distances-INITIAL_FORMS": 0,
        "services-TOTAL_FORMS": 1, "services-INITIAL_FORMS": 0,
        "services-0-organisation": machine.organisation_id, "services-0-machine": machine.pk,
        "services-0-done_on": "2026-05-14", "services-0-work": "Oil and seals",
    }  # fmt: skip
    page = reverse("admin:machines_machine_change", args=[machine.pk])
    assert admin_client.post(page, given).status_code == 302
    machine.refresh_from_db()
    assert machine.label == "Unit 7"
    assert [one.work for one in machine.services.all()] == ["Oil and seals"]


def test_members_are_not_staff(owner: Caller) -> None:
    assert owner.get("/admin/").status_code == 302
