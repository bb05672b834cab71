"""A phone's side of the sync protocol: numbers, heads seen, pushes, pulls, proof."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from itertools import islice
from typing import Any
from uuid import uuid4

from inspections.log.fold import Fold, fold
from reports.demo.script import Mutation
from reports.demo.walk.visitor import Visitor, WalkFailed

CLIENT = "demo.1"
BATCH = 100
SCHEMA = 1


class Phone:
    """One device of one person on one visit; all that it wrote stays in it."""

    def __init__(self, person: Visitor, visit: str) -> None:
        self.person = person
        self.visit = visit
        self.device = str(uuid4())
        self.own: list[dict[str, Any]] = []
        self.pulled: list[dict[str, Any]] = []
        self._heads: dict[tuple[str, str], list[str]] = {}
        self._sent = 0

    def write(self, mutations: Iterable[Mutation]) -> None:
        """Give the mutations numbers and note which heads each of them has seen."""
        for said in mutations:
            place = (said.rec, said.field)
            entry = {
                "id": str(uuid4()),
                "seq": len(self.own) + 1,
                "rec": said.rec,
                "field": said.field,
                "value": said.value,
                "seen": self._heads.get(place, []),
                "schema": SCHEMA,
                "at": said.at.astimezone(UTC).isoformat(),
            }
            self._heads[place] = [entry["id"]]
            self.own.append(entry)

    def push(self) -> int:
        """Send what was not sent yet, in batches; return how many batches it took."""
        batches = 0
        for batch in _batches(self.own[self._sent :]):
            self._push(batch)
            self._sent += len(batch)
            batches += 1
        return batches

    def push_again(self) -> None:
        """Send the last batch once more, as after a lost answer: all are known."""
        last = self.own[-BATCH:]
        answer = self._call("POST", "push", self._envelope(last))
        states = {result["s"] for result in answer["results"]}
        if states != {"dup"}:
            raise WalkFailed(f"A batch sent twice was answered {sorted(states)}.")

    def pull(self) -> None:
        """Read the visit's log to its end."""
        more, after = True, max((row["v"] for row in self.pulled), default=0)
        while more:
            answer = self._call("GET", f"changes?after={after}&limit=500")
            self.pulled += answer["changes"]
            after = max((row["v"] for row in self.pulled), default=0)
            more = answer["more"]

    def compare(self) -> Fold:
        """Hold the log, its manifest and the own entries against each other."""
        missing = {row["id"] for row in self.own} - {row["id"] for row in self.pulled}
        if missing:
            raise WalkFailed(f"{len(missing)} entries did not come back.")
        mine, theirs = fold(self.own + self.pulled), fold(self.pulled)
        if mine != theirs:
            raise WalkFailed("The phone and the server understand the log differently.")
        held = self._call("GET", "manifest")
        ids = [row["id"] for row in sorted(self.pulled, key=lambda row: row["v"])]
        digest = hashlib.sha256("".join(f"{one}\n" for one in ids).encode()).hexdigest()
        if (held["count"], held["digest"]) != (len(ids), digest):
            raise WalkFailed("The manifest does not agree with the entries pulled.")
        return theirs

    def photos_missing(self) -> list[str]:
        """Return the photos that the server knows of and has not stored."""
        held = self._call("GET", "manifest")
        return [photo["id"] for photo in held["photos"] if not photo["stored"]]

    def _push(self, batch: list[dict[str, Any]]) -> None:
        answer = self._call("POST", "push", self._envelope(batch))
        refused = [one for one in answer["results"] if one["s"] != "ok"]
        if refused or len(answer["results"]) != len(batch):
            raise WalkFailed(f"The push was not taken whole: {refused[:3]}")
        if [one["id"] for one in answer["results"]] != [one["id"] for one in batch]:
            raise WalkFailed("The answer to the push names other entries.")

    def _envelope(self, batch: list[dict[str, Any]]) -> dict[str, Any]:
        return {
            "req": str(uuid4()),
            "device": self.device,
            "client": CLIENT,
            "now": datetime.now(UTC).isoformat(),
            "mutations": batch,
        }

    def _call(self, method: str, what: str, body: Any = None) -> dict[str, Any]:
        path = f"/api/sync/v1/visits/{self.visit}/{what}"
        answer: dict[str, Any] = self.person.call(method, path, body=body).json()
        if answer.get("sync") != 1:
            raise WalkFailed(f"{path} was not answered by the sync protocol.")
        return answer


def _batches(entries: list[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    rest = iter(entries)
    while batch := list(islice(rest, BATCH)):
        yield batch
