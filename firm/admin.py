"""The operator's pages: firms and accounts, never what a firm holds.

Rows of a firm stay invisible here: no firm is bound, so row security shows none.
"""

from django.contrib import admin
from django.contrib.auth.models import Group
from django.http import HttpRequest

from firm.models import Firm, Installation, User

admin.site.site_header = "Kingpost, for the operator"
admin.site.site_title = "Kingpost"
admin.site.index_title = "Firms and accounts"
admin.site.unregister(Group)


@admin.register(Firm)
class FirmAdmin(admin.ModelAdmin):  # type: ignore[type-arg]  # Django has no such subscript
    list_display = ("name", "slug", "state", "time_zone", "created_at")
    search_fields = ("name", "slug")
    readonly_fields = ("created_at",)

    def has_delete_permission(
        self, request: HttpRequest, obj: Firm | None = None
    ) -> bool:
        return False


@admin.register(User)
class UserAdmin(admin.ModelAdmin):  # type: ignore[type-arg]  # Django has no such subscript
    list_display = ("email", "name", "is_active", "is_staff", "last_login")
    search_fields = ("email", "name")
    fields = ("email", "name", "is_active", "is_staff", "last_login", "created_at")
    readonly_fields = ("last_login", "created_at")

    def has_delete_permission(
        self, request: HttpRequest, obj: User | None = None
    ) -> bool:
        return False


@admin.register(Installation)
class InstallationAdmin(admin.ModelAdmin):  # type: ignore[type-arg]  # Django has no such subscript
    list_display = ("incarnation",)

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(
        self, request: HttpRequest, obj: Installation | None = None
    ) -> bool:
        return False

    def has_delete_permission(
        self, request: HttpRequest, obj: Installation | None = None
    ) -> bool:
        return False
