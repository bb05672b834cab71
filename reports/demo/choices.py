"""What the demo's inspector does with each proposal of the rules."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from reports.demo import story
from reports.demo.script import Mutation, Script, record_id

_FIELDS = ("choice", "reason", "reason_text", "consequence", "timing")


@dataclass(frozen=True, slots=True)
class Chosen:
    """Decisions as mutations, and the entries of the data that met no proposal."""

    mutations: tuple[Mutation, ...]
    unmet: tuple[str, ...]


def decide(
    script: Script, proposals: Iterable[Mapping[str, Any]], *, run: str, at: datetime
) -> Chosen:
    """Answer every proposal: as the data says, or by using it.

    A proposal is read by its `key`, `rule`, `subject` and `subjects`.
    """
    met: set[int] = set()
    made: list[Mutation] = []
    for proposal in proposals:
        number, entry = _entry(script, proposal)
        met.add(number)
        rec = record_id(run, f"decision/{proposal['key']}", at)
        fields = {
            "kind": "decision",
            "rule": proposal["rule"],
            "subject": proposal["subject"],
            **{name: entry[name] for name in _FIELDS if name in entry},
            **_covers(entry, proposal),
            "on_site": True,
        }
        made += [Mutation(rec, name, value, at) for name, value in fields.items()]
    unmet = tuple(
        f"{entry['rule']} {entry['subject']}"
        for number, entry in enumerate(story.decisions())
        if number not in met
    )
    return Chosen(tuple(made), unmet)


def _covers(entry: Mapping[str, Any], proposal: Mapping[str, Any]) -> Mapping[str, Any]:
    """Say what stood in a proposal that is set aside."""
    covers = proposal.get("covers") or [proposal["key"]]
    return {"covers": list(covers)} if entry["choice"] == "not_here" else {}


def _entry(
    script: Script, proposal: Mapping[str, Any]
) -> tuple[int, Mapping[str, Any]]:
    subjects = {proposal["subject"], *proposal.get("subjects", ())}
    for number, entry in enumerate(story.decisions()):
        here = entry["subject"] == "*" or script.ids[entry["subject"]] in subjects
        if here and _under(str(proposal["rule"]), entry["rule"]):
            return number, entry
    return -1, {"choice": "use"}


def _under(rule: str, named: str) -> bool:
    return rule == named or rule.startswith(named + ".")
