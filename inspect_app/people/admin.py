"""For staff."""

from django.contrib import admin

from inspect_app.people.models import Attempt, Member, Organisation


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


@admin.register(Attempt)
class AttemptAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Deleting a row lets its account in again."""

    list_display = ("key", "at")
    search_fields = ("key",)
