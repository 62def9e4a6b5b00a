"""Machines and what is known of their past."""

from django.db import models

from inspect_app.people.scope import OwnedByOrganisation


class Machine(OwnedByOrganisation):
    """A machine as its organisation describes it; `assemblies` is the record's own shape.

    Who said which figure, and when, stands in the log of changes.
    """

    phone_id = models.UUIDField()
    label = models.CharField(max_length=120, blank=True)
    kind = models.CharField(max_length=40)
    identification_number = models.CharField(max_length=60, blank=True)
    assemblies = models.JSONField(default=list, blank=True)
    changed_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["organisation", "phone_id"], name="machine_once"),
        )
        indexes = (models.Index(fields=["organisation", "label", "id"], name="machine_list"),)

    def __str__(self) -> str:
        return self.label or str(self.phone_id)


class DistanceEntry(OwnedByOrganisation):
    """Distance and engine hours as read on a day, as entered; from one inspection or by hand."""

    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="distances")
    read_on = models.DateField()
    distance = models.CharField(max_length=40, blank=True, help_text="with its unit, e.g. 4250 mi")
    engine_hours = models.CharField(max_length=40, blank=True)
    inspection_phone_id = models.UUIDField(null=True, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["machine", "inspection_phone_id"], name="distance_once_an_inspection"
            ),
        )

    def __str__(self) -> str:
        return f"{self.distance or self.engine_hours} on {self.read_on}"


class ServiceEntry(OwnedByOrganisation):
    """Work done on a machine."""

    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="services")
    done_on = models.DateField()
    distance = models.CharField(max_length=40, blank=True, help_text="with its unit, e.g. 4250 mi")
    work = models.TextField()

    def __str__(self) -> str:
        return f"{self.work[:60]} on {self.done_on}"
