"""The one place where rows are narrowed to an organisation."""

from typing import Self

from django.db import models

from inspect_app.people.models import Organisation


class OwnedByOrganisation(models.Model):
    """A row that belongs to one organisation, and that code reaches only through `of`.

    `objects` is for the admin and for migrations; a test refuses it everywhere else.
    """

    organisation = models.ForeignKey(Organisation, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True

    @classmethod
    def of(cls, organisation: Organisation) -> models.QuerySet[Self]:
        """The rows of this organisation."""
        return cls._default_manager.filter(organisation=organisation)

    @classmethod
    def of_whoever(cls) -> models.QuerySet[Self]:
        """The rows of all organisations: for what anybody may ask who holds a secret of the row."""
        return cls._default_manager.all()
