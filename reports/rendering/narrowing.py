"""Part of a snapshot: some of its findings, and only what goes with them."""

from collections.abc import Collection, Iterable, Iterator

from msgspec.structs import replace

from reports.rendering.schema import (
    Finding,
    Limit,
    Panel,
    Place,
    Receptacles,
    Snapshot,
    Term,
)


def narrow(
    whole: Snapshot, keep: Collection[str], *, everywhere: bool, panels: bool
) -> Snapshot:
    """Return the snapshot with these findings alone, numbered as in the whole.

    Nothing else of the house comes along: no other photo, place, table or remark. Of
    what could not be seen there is either all of it (`everywhere`), or what concerns
    the house or the places of the findings. `panels` brings the drawings of those
    panels that a finding stands at.
    """
    findings = tuple(one for one in whole.findings if one.id in keep)
    ids = {one.id for one in findings}
    shown = {photo for one in findings for photo in one.photos}
    photos = tuple(photo for photo in whole.photos if photo.id in shown)
    near = {place for one in findings for place in (one.place_id, *one.places)}
    named = near | {photo.place for photo in photos}
    return replace(
        whole,
        replaces=replace(whole.replaces, reason=ELSEWHERE, changes=())
        if whole.replaces
        else None,
        visit=replace(whole.visit, attended=(), instruments=()),
        front=replace(
            whole.front, items=tuple(one for one in whole.front.items if one in ids)
        ),
        findings=findings,
        places=tuple(_place(place, ids) for place in whole.places if place.id in named),
        systems=(),
        limits=tuple(_limits(whole, None if everywhere else near)),
        panels=tuple(_panels(whole, ids)) if panels else (),
        receptacles=Receptacles(),
        alarms=(),
        measurements=(),
        older_rules=(),
        told=(),
        urgent=(),
        as_left=(),
        photos=photos,
        cover_photo=None,
        disclosures=(),
        ages=(),
        attachments=(),
        rechecked=(),
        glossary=tuple(_terms(whole, findings)),
    )


ELSEWHERE = "The whole report says what was corrected and why."


def _place(place: Place, ids: Collection[str]) -> Place:
    return replace(
        place,
        method_words="",
        looked=(),
        findings=tuple(one for one in place.findings if one in ids),
        photos=(),
        limits=(),
    )


def _limits(whole: Snapshot, near: Collection[str] | None) -> Iterator[Limit]:
    """Yield each limit once, with its places named."""
    yield from whole.limits
    for place in whole.places:
        if near is None or place.id in near:
            for limit in place.limits:
                yield replace(limit, places=limit.places or (place.name,))


def _panels(whole: Snapshot, ids: Collection[str]) -> Iterator[Panel]:
    for panel in whole.panels:
        spaces = tuple(
            replace(space, findings=_kept(space.findings, ids))
            for space in panel.spaces
        )
        mine = _kept(panel.findings, ids)
        if mine or any(space.findings for space in spaces):
            yield replace(panel, spaces=spaces, findings=mine)


def _kept(refs: Iterable[str], ids: Collection[str]) -> tuple[str, ...]:
    return tuple(one for one in refs if one in ids)


def _terms(whole: Snapshot, findings: Iterable[Finding]) -> Iterator[Term]:
    said = " ".join(
        f"{one.words.seen} {one.words.matters} {one.words.action}" for one in findings
    ).lower()
    for term in whole.glossary:
        if term.term.lower() in said:
            yield term
