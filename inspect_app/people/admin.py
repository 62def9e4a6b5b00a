"""For staff."""

from django.contrib import admin
from django.http import HttpRequest

from inspect_app.people.models import ApiToken, Attempt, DeviceSecret, Member, Organisation


class MemberInline(admin.TabularInline):  # type: ignore[type-arg]
    """Members on their organisation's page."""

    model = Member
    extra = 0


@admin.register(Organisation)
class OrganisationAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Organisations with their members."""

    list_display = ("name", "is_private", "created_at")
    list_filter = ("is_private",)
    search_fields = ("name",)
    inlines = (MemberInline,)


@admin.register(DeviceSecret)
class DeviceSecretAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Deleting a person's rows shuts a lost phone out."""

    list_display = ("member", "made_at")
    raw_id_fields = ("member",)
    exclude = ("digest",)

    def has_add_permission(self, _request: HttpRequest) -> bool:
        """A secret is made for a phone, never here."""
        return False


@admin.register(ApiToken)
class ApiTokenAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Deleting a row shuts its program out."""

    list_display = ("name", "start", "member", "expires_at", "used_at", "revoked_at")
    raw_id_fields = ("member",)
    exclude = ("digest",)
    readonly_fields = ("start", "scopes", "made_at", "used_at", "revoked_at")

    def has_add_permission(self, _request: HttpRequest) -> bool:
        """One is made by its member, who alone is shown its secret."""
        return False


@admin.register(Attempt)
class AttemptAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Deleting a row lets its account in again."""

    list_display = ("key", "at")
    search_fields = ("key",)
