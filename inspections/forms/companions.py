"""Naming somebody who goes along to a visit."""

from uuid import UUID

from django import forms

from firm.errors import BadInput


class CompanionForm(forms.Form):
    """One member of the firm, by id."""

    member = forms.UUIDField(label="Who goes along")

    def who(self) -> UUID:
        """Return the member's id. Raises BadInput."""
        if not self.is_valid():
            raise BadInput("Choose who goes along.", field="member")
        found: UUID = self.cleaned_data["member"]
        return found
