"""The firm's book: everything a phone needs for any visit, known by one digest.

{digest, schema, vocabulary: {shared, kinds: {kind: {field: {form, …}}}}, labels, items,
route, levels, blanks, lines, passages, rules, off, value_words, system_words,
instruments, ticked, photo_policy}, and by state: timelines, packs, absences (key:
duties), families.
`form` is one of the forms of fixtures/vocabulary/records.yaml with its arguments: max,
min and max, options, or kind. `photo_policy` is {originals, long_edge, quality}.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from functools import lru_cache
from typing import Any

import msgspec
import yaml
from django.conf import settings
from django.utils import timezone

from findings.rules import loader as rule_files
from findings.rules.loader import Ruleset
from findings.rules.package import package
from findings.rules.timelines import Timeline
from findings.selectors.evaluation import checked_lines, families_of
from findings.selectors.field.routes import items, labels, route
from findings.selectors.rulings import rules_of
from findings.selectors.shelf import shelf_of
from findings.standards import loader as pack_files
from findings.standards.package import as_json
from findings.wording.blanks import forms
from findings.wording.passages import Shelf
from findings.wording.sentences import levels
from firm.actor import Actor
from firm.models import Instrument
from firm.services import photo_policy
from inspections.log import vocabulary
from inspections.log.forms import Form

LINES = settings.FIRM_DATA_DIR / "words" / "lines.yaml"
VOCABULARY = settings.FIRM_DATA_DIR / "vocabulary" / "records.yaml"
BOUNDED = ("int", "decimal")
LONG = ("text", "line")
OPTIONS = ("choice", "choices")


def book_of(actor: Actor) -> dict[str, Any]:
    """Return the firm's book; the same digest says the same book."""
    rules = rules_of(actor)
    own = {
        "instruments": _instruments(actor, timezone.now().date()),
        "ticked": sorted(checked_lines(actor)),
        "off": sorted(rules.off),
        "photo_policy": asdict(photo_policy.of(actor.firm)),
        "passages": _passages(shelf_of(actor)),
    }
    whole = {**_for_every_firm(), "rules": _rules(rules), **own}
    written = json.dumps(whole, sort_keys=True, default=str, ensure_ascii=False)
    return {"digest": hashlib.sha256(written.encode()).hexdigest(), **whole}


@lru_cache(maxsize=1)
def _for_every_firm() -> dict[str, Any]:
    """Return what comes from the data folder alone."""
    states = pack_files.readable()
    packs = {state: pack_files.pack(state) for state in states}
    known = vocabulary.load(VOCABULARY)
    timelines = {
        path.stem.upper()
        for path in (settings.FIRM_DATA_DIR / "timelines").glob("*.yaml")
    }
    return {
        "schema": known.schema,
        "vocabulary": _vocabulary(known),
        "labels": msgspec.to_builtins(labels()),
        "items": _items(),
        "route": msgspec.to_builtins(route()),
        "levels": msgspec.to_builtins(levels()),
        "blanks": {"says": forms().says, "units": forms().units},
        "lines": yaml.safe_load(LINES.read_text(encoding="utf-8")),
        "packs": {state: as_json(pack) for state, pack in packs.items()},
        "value_words": dict(pack_files.words_for_values()),
        "system_words": dict(pack_files.words_for_systems()),
        "absences": {state: pack.absences() for state, pack in packs.items()},
        "families": {state: families_of(state) for state in states},
        "timelines": {
            state: timeline_json(rule_files.timeline(state))
            for state in sorted(timelines)
        },
    }


def _items() -> dict[str, Any]:
    """Give the items of stops; what an item does not say is left out, not empty."""
    whole: dict[str, Any] = msgspec.to_builtins(items())
    told = {
        key: {name: value for name, value in one.items() if value not in ("", {}, [])}
        for key, one in whole["items"].items()
    }
    return {**whole, "items": told}


def timeline_json(timeline: Timeline | None) -> dict[str, Any] | None:
    """Give a state's lines as plain values, or None where there is no timeline."""
    return (
        None
        if timeline is None
        else json.loads(json.dumps(asdict(timeline), default=str))
    )


@lru_cache(maxsize=16)
def _passages(shelf: Shelf) -> list[dict[str, Any]]:
    """Give the firm's passages as a phone reads them; the same shelf only once."""
    return [msgspec.to_builtins(one) for one in shelf.passages.values()]


@lru_cache(maxsize=16)
def _rules(rules: Ruleset) -> dict[str, Any]:
    return package(rules)


def _vocabulary(known: vocabulary.Vocabulary) -> dict[str, Any]:
    shared = yaml.safe_load(VOCABULARY.read_text(encoding="utf-8"))["shared"]
    return {
        "shared": sorted(shared),
        "kinds": {
            kind: {name: form_json(form) for name, form in fields.items()}
            for kind, fields in known.kinds.items()
        },
    }


def form_json(form: Form) -> Mapping[str, Any]:
    """Give a field's form as a phone reads it."""
    args = form.args
    if form.name in BOUNDED:
        low, high = (float(one) if "." in one else int(one) for one in args)
        return {"form": form.name, "min": low, "max": high}
    if form.name in LONG:
        return {"form": form.name, "max": int(args[0])}
    if form.name in OPTIONS:
        return {"form": form.name, "options": list(args)}
    if form.name in ("rec", "recs"):
        return {"form": form.name, "kind": args[0]}
    return {"form": form.name}


def _instruments(actor: Actor, today: date) -> list[dict[str, Any]]:
    rows = Instrument.objects.filter(firm=actor.firm).order_by("name")
    return [
        {
            "key": row.key,
            "kind": row.kind,
            "name": row.name,
            "serial": row.serial,
            "tolerance": row.tolerance,
            "calibrated_until": row.calibrated_until
            and row.calibrated_until.isoformat(),
            "expired": row.calibrated_until is not None
            and row.calibrated_until < today,
        }
        for row in rows
    ]
