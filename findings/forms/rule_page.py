"""The forms of a rule's page as they stand before anybody has typed."""

from __future__ import annotations

from typing import Any

from findings.forms.rules import LevelForm, SwitchForm, TickForm, WriteForm
from findings.selectors.rule_pages import RulePage


def context_of(page: RulePage, **typed: Any) -> dict[str, Any]:
    """Return the page with its forms; those that were sent keep what was typed."""
    to = "on" if page.is_changed else "off"
    return {
        "page": page,
        "switch_form": SwitchForm(
            initial={"to": to, "shown": page.shown}, auto_id="switch_%s"
        ),
        "off_form": SwitchForm(
            initial={"to": "off", "shown": page.shown}, auto_id="off_%s"
        ),
        "level_form": LevelForm(
            initial={"shown": page.shown}, levels=page.levels, auto_id="level_%s"
        ),
        "write_form": WriteForm(
            initial={"definition": page.definition, "shown": page.shown},
            auto_id="write_%s",
        ),
        "tick_form": TickForm(initial={"version": page.version}, auto_id="tick_%s"),
        **{name: form.at(page) for name, form in typed.items()},
    }
