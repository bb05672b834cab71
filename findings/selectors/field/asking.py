"""What a form asks for one record: its page, fields, choices and what is there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.http import Http404

from findings.selectors.field.ground import Ground, Record, new_id
from findings.selectors.field.live import live
from findings.selectors.field.routes import Item, items, labels, value_words
from findings.selectors.field.rows import ItemPage
from findings.selectors.field.said import title_of, value_of
from findings.selectors.field.walk import name_of
from findings.standards.answers import ANSWERS, GAPS
from findings.standards.loader import words_for_systems
from findings.wording import sentences
from firm.selectors.instruments import instrument_choices

Pairs = list[tuple[str, str]]
DUTY: Final = "duty:"
LONG: Final = 76  # more of an entry does not fit a list of a phone
NEEDED: Final = {
    "measure": ("value",),
    "hand_finding": ("line",),
    "note": ("text",),
    "as_left": ("what",),
    "runner": ("what",),
    "duty": ("answer",),
    "told": ("text",),
    "hazard": ("what", "told"),
    "alarm": ("alarm_kind",),
    "alarm_look": ("alarm_kind",),
}
PICTURED: Final = (
    "enclosure", "receptacle", "observation", "measure", "hand_finding", "plate",
    "box", "alarm", "branch_wiring", "wall", "as_left", "hazard",
)  # fmt: skip
AT_LARGE: Final = {"visit", "limit", "age_note"}  # kinds that belong to no stop


@dataclass(frozen=True, slots=True)
class Asked:
    """One record as a form asks for it; `fixed` is written beside what is typed."""

    page: ItemPage
    kind: str
    rec: str
    shown: int
    names: tuple[str, ...] = ()
    choices: Mapping[str, Pairs] = field(default_factory=dict)
    initial: Mapping[str, Any] = field(default_factory=dict)
    fixed: Mapping[str, Any] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)

    @property
    def needed(self) -> tuple[str, ...]:
        return NEEDED.get(self.kind, ())

    def fields(self, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Return everything that the log is told, the measure's unit among it."""
        said = {**typed, **self.fixed}
        unit = self.units.get(str(said.get("what") or ""))
        return said | ({"unit": unit} if unit else {})

    def new_record(self, sent: UUID | None, records: Mapping[str, Record]) -> str:
        """Return the record's id: a form sent twice brings the same one back."""
        if self.rec in records or sent is None:
            return self.rec
        known = records.get(str(sent), {}).get("kind", self.kind)
        return str(sent) if known == self.kind else self.rec


def item(base: Ground, stop_id: UUID, key: str) -> Asked:
    """Return the form of an item of a stop, or of a duty as `duty:<id>`."""
    base.of("stop", stop_id)
    if key.startswith(DUTY):
        return _duty(base, str(stop_id), key.removeprefix(DUTY))
    known = items().items.get(key)
    if known is None:
        raise Http404
    if known.record in {"stop", "visit"}:
        rec = str(stop_id if known.record == "stop" else base.visit.pk)
        return _asked(base, known.record, rec, str(stop_id), known, key)
    return _asked(base, known.record, new_id(), str(stop_id), known, key)


def entry(base: Ground, rec: UUID, now: datetime) -> Asked:
    """Return the form of a record that is there already. Raises Http404."""
    key = str(rec)
    record: Record = base.records.get(key, {})
    kind = str(record.get("kind") or "")
    if key == str(base.visit.pk):
        kind = "visit"
    if kind not in labels().kinds:
        raise Http404
    stop = base.stop_of(record)
    if kind == "duty":
        return _duty(base, stop, str(record.get("duty")), key)
    known = items().items.get(str(record.get("item") or ""))
    asked = _asked(base, kind, key, stop, known, str(record.get("item") or ""))
    if kind != "runner":
        return asked
    off = {"ended_at": now.strftime("%Y-%m-%dT%H:%M:%SZ")}
    return _with(asked, fixed=off, submit_words="It is off now")


def note(base: Ground, stop_id: UUID) -> Asked:
    base.of("stop", stop_id)
    return _asked(base, "note", new_id(), str(stop_id), None, "")


def hazard(base: Ground, stop_id: UUID, now: datetime) -> Asked:
    """Return the form of something people must be told at once."""
    base.of("stop", stop_id)
    asked = _asked(base, "hazard", new_id(), str(stop_id), None, "")
    told = {"told_at": now.strftime("%Y-%m-%dT%H:%M:%SZ")}
    return _with(
        asked,
        fixed={**asked.fixed, **told},
        submit_words="They have been told",
        intro="Say it aloud to the people here first, then write who was told.",
    )


def limit(base: Ground, stop_id: UUID) -> Asked:
    """Return the form of one reason and all that it touches."""
    key, stop = str(stop_id), base.of("stop", stop_id)
    asked = _asked(base, "limit", new_id(), key, None, "")
    duties = {one.duty: one.item for one in base.seen.ledger.open(key)}
    reach = [
        (key, f"everything at {name_of(stop)}"),
        *((f"system:{k}", f"{v}, everywhere") for k, v in _systems(base)),
        *duties.items(),
    ]
    return replace(
        asked, choices={"reach": reach}, initial={**asked.initial, "reach": [key]}
    )


def _asked(
    base: Ground, kind: str, rec: str, stop: str, known: Item | None, key: str
) -> Asked:
    record: Record = base.records.get(rec, {})
    names = (
        known.fields if known and known.fields else tuple(labels().kinds[kind].fields)
    )
    if known is not None and known.preset:
        names = tuple(name for name in names if name not in known.preset)
    whats = known.ask if known and known.record == kind else {}
    fixed = dict(known.preset) if known and not record else {}
    if not record and kind not in AT_LARGE | {"stop"}:
        fixed |= {"stop": stop}
        if kind in {"observation", "measure", "hand_finding"} and known:
            fixed |= {"item": known.item or key}
    choices = _choices(base, kind, record, stop, whats)
    return Asked(
        page=_page(base, stop, rec, kind, known),
        kind=kind,
        rec=rec,
        shown=base.shown,
        names=tuple(name for name in names if _is_asked(kind, name, choices)),
        choices=choices,
        initial=_initial(kind, record, whats),
        fixed=fixed,
        units={what: ask.unit for what, ask in whats.items() if ask.unit},
    )


def _is_asked(kind: str, name: str, choices: Mapping[str, Pairs]) -> bool:
    """Leave out what there is nothing to choose from."""
    if name == "what" and _is_seen(kind):
        return name in choices
    return bool(choices.get(name, True))


def _is_seen(kind: str) -> bool:
    return kind in {"observation", "measure"}


def _initial(kind: str, record: Record, whats: Mapping[str, Any]) -> dict[str, Any]:
    if record:
        return dict(record)
    usual = {"observation": {"how_known": "seen"}, "measure": {"how_known": "measured"}}
    only = {"what": next(iter(whats))} if len(whats) == 1 else {}
    return usual.get(kind, {}) | only


def _choices(
    base: Ground, kind: str, record: Record, stop: str, whats: Mapping[str, Any]
) -> dict[str, Pairs]:
    found: dict[str, Pairs] = {}
    if whats:
        found["what"] = [(what, ask.label) for what, ask in whats.items()]
    if record.get("what") and _is_seen(kind) and record["what"] not in whats:
        found.setdefault("what", []).append((record["what"], _plain(record["what"])))
    if kind == "measure":
        found["instrument"] = instrument_choices(base.actor)
    if kind == "plate":
        found["item"] = list(items().plates.items())
    if kind == "hand_finding":
        found |= _level_choices(base)
    if kind == "photo":
        found["about"] = _photo_choices(base, record, stop)
    return found


def _level_choices(base: Ground) -> dict[str, Pairs]:
    purpose = base.visit.purpose
    return {
        "system": _systems(base),
        "consequence": [(c.key, c.label) for c in sentences.consequence_choices()],
        "timing": [(c.key, c.label) for c in sentences.timing_choices(purpose)],
        "trade": [(c.key, c.label) for c in sentences.trade_choices()],
    }


def _systems(base: Ground) -> Pairs:
    words = words_for_systems()
    covered = [s for s in base.seen.pack.systems() if base.seen.scope.covers(s)]
    return [(one, words.get(one, _plain(one))) for one in covered if one != "general"]


def _photo_choices(base: Ground, record: Record, stop: str) -> Pairs:
    """Return what a photo of a stop can show: what was recorded there, then others."""
    here = [(k, r) for kind in PICTURED for k, r in base.at(stop, kind)]
    named = [(k, _entry_words(r)) for k, r in here]
    about = str(record.get("about") or "")
    if about and about not in dict(named):
        named.insert(0, (about, _entry_words(base.records.get(about, {}))))
    return named


def _entry_words(record: Record) -> str:
    own = record.get("name") or record.get("place") or value_of(record)
    text = f"{title_of(record)}: {own}"
    return text if len(text) <= LONG else f"{text[:LONG]} …"


def _page(base: Ground, stop: str, rec: str, kind: str, known: Item | None) -> ItemPage:
    title = known.label if known else labels().kinds[kind].title
    apart = base.apart(rec)
    return ItemPage(
        head=base.head,
        stop_name=base.seen.stop_name(stop) or "the visit",
        stop_url=base.url("stop-read", stop) if stop in base.records else base.head.url,
        title=title,
        intro=f"At {base.seen.stop_name(stop)}" if stop in base.records else "",
        meaning=f"Two devices said: {'; '.join(apart)}. What you save here settles it."
        if apart
        else "",
        phrases=items().phrases.get(kind, ()),
        live=live(base, kind, stop),
    )


def _duty(base: Ground, stop: str, duty_id: str, rec: str = "") -> Asked:
    duty = {one.id: one for one in base.seen.pack.duties}.get(duty_id)
    if duty is None:
        raise Http404
    said = [k for k, r in base.at(stop, "duty") if r.get("duty") == duty_id]
    rec = rec or (said[0] if said else new_id())
    asked = _asked(base, "duty", rec, stop, None, "")
    answers = [*ANSWERS[duty.duty], *GAPS]
    hints = [o.hint for o in base.seen.ledger.open() if o.duty == duty_id]
    intro = hints[0] if hints and hints[0] != duty.text else ""
    made = _with(
        asked,
        fixed={**asked.fixed, "duty": duty_id},
        title=f"{duty.item[:1].upper()}{duty.item[1:]}",
        intro=". ".join(part.rstrip(".") for part in (duty.text, intro) if part) + ".",
    )
    words = items().duty_answers
    return replace(made, choices={"answer": [(one, words[one]) for one in answers]})


def _with(asked: Asked, *, fixed: Mapping[str, Any], **page: Any) -> Asked:
    return replace(asked, page=replace(asked.page, **page), fixed=fixed)


def _plain(key: str) -> str:
    return value_words(key)
