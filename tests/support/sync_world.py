"""A small world of one visit: a server, phones, and every way they lose each other.

The server and the phones follow the protocol as written; the fold is the product's
own. `bug` plants one of the mistakes that the protocol is there to rule out, so that
a test can show that the checks would notice.
"""

from __future__ import annotations

import copy
import json
import random
from dataclasses import dataclass, field
from typing import Any

from inspections.log.fold import applied, fold, heads

BUGS = (
    "no-id-check",  # the server takes a repeat as something new
    "any-200-is-an-ack",  # the phone trusts an answer that is not the server's
    "cursor-before-data",  # two writes where there must be one
    "last-writer-wins",  # the server lets a write cover what its author never saw
    "refused-is-removed",  # the phone forgets what was set apart
)
RECORDS = ("r1", "r2", "r3")
FIELDS = ("kind", "name", "pos", "_gone", "odd")
BATCH = 4


class Cut(Exception):
    """The connection broke, or one of the two programs was killed."""


@dataclass
class Server:
    bug: str | None
    rows: list[dict[str, Any]] = field(default_factory=list)
    last_seq: dict[str, int] = field(default_factory=dict)
    incarnation: int = 1

    def push(self, device: str, batch: list[dict[str, Any]], stop: int) -> Any:
        """Take a batch; `stop` is how many commits it lives through."""
        results = []
        for number, sent in enumerate(batch):
            if number == stop:
                raise Cut
            result = self.take(device, sent)
            results.append(result)
            if result["s"] in ("gap", "fork"):
                break
        return {"sync": 1, "incarnation": self.incarnation, "results": results}

    def take(self, device: str, sent: dict[str, Any]) -> dict[str, Any]:
        last, seq, id_ = self.last_seq.get(device, 0), sent["seq"], sent["id"]
        known = next((row for row in self.rows if row["id"] == id_), None)
        if known is not None and self.bug != "no-id-check":
            if seq == last + 1:
                self.last_seq[device] = seq
            return {"id": id_, "s": "dup", "v": known["v"]}
        if self.bug not in ("any-200-is-an-ack", "no-id-check"):
            if seq <= last:
                return {"id": id_, "s": "fork"}
            if seq > last + 1:
                return {"id": id_, "s": "gap", "expected": last + 1}
        status = "quarantined" if sent["field"] == "odd" else "ok"
        row = sent | {"v": len(self.rows) + 1, "status": status, "dev": device}
        if self.bug == "last-writer-wins":
            row["seen"] = [
                head["id"]
                for head in heads(self.rows)
                if (head["rec"], head["field"]) == (row["rec"], row["field"])
            ]
        self.rows.append(row)
        self.last_seq[device] = max(last, seq)
        return {"id": id_, "s": status, "v": row["v"]}


@dataclass
class Phone:
    """What one browser storage holds; all of it is durable."""

    name: str
    device: str
    own: dict[str, dict[str, Any]] = field(default_factory=dict)
    mirror: dict[int, dict[str, Any]] = field(default_factory=dict)
    cursor: int = 0
    incarnation: int = 1

    def entries(self) -> list[dict[str, Any]]:
        return [*self.mirror.values(), *(row["m"] for row in self.own.values())]

    def pending(self) -> list[dict[str, Any]]:
        waiting = [r for r in self.own.values() if r["state"] in ("new", "offered")]
        return sorted(waiting, key=lambda row: row["m"]["seq"])

    def offer_again(self, since: int = 0) -> None:
        for row in self.own.values():
            if row["m"]["seq"] >= since and row["state"] != "new":
                row["state"] = "offered"

    def start_over(self, incarnation: int) -> None:
        """Another life of the server: forget what it said, offer everything."""
        self.mirror, self.cursor, self.incarnation = {}, 0, incarnation
        self.offer_again()


class World:
    def __init__(self, bug: str | None = None, phones: int = 3) -> None:
        self.bug = bug
        self.server = Server(bug)
        self.phones = [Phone(f"p{n}", f"p{n}.0") for n in range(phones)]
        self.saved: dict[str, dict[str, Any]] = {}
        self.shown: dict[str, set[str]] = {}
        self.destroyed: set[str] = set()
        self.old_requests: list[tuple[str, list[dict[str, Any]]]] = []
        self.backup: Any = None
        self.phone_backups: dict[str, Phone] = {}
        self.count = 0

    # What people and programs do.

    def write(self, number: int, rec: str, name: str, value: Any) -> None:
        phone = self.phones[number]
        standing = [head for head in heads(phone.entries()) if head["rec"] == rec]
        of_field = [head["id"] for head in standing if head["field"] == name]
        everything = [head["id"] for head in standing]
        self.count += 1
        made = {
            "id": f"{phone.device}:{self.count}",
            "rec": rec,
            "field": name,
            "value": value,
            "v": None,
            "schema": 1,
            "seen": everything if name == "_gone" else of_field,
            "seq": max((r["m"]["seq"] for r in phone.own.values()), default=0) + 1,
        }
        phone.own[made["id"]] = {"m": made, "state": "new", "v": None}
        self.saved[made["id"]] = made
        self.shown[made["id"]] = set(of_field)

    def push(self, number: int, fault: str = "", stop: int = BATCH + 1) -> None:
        phone = self.phones[number]
        batch = phone.pending()[:BATCH]
        if not batch:
            return
        for row in batch:
            row["state"] = "offered"
        sent = [copy.deepcopy(row["m"]) for row in batch]
        self.old_requests.append((phone.device, sent))
        if fault in ("request-lost", "signed-out"):
            return
        if fault == "captive":
            self._trust(batch)
            return
        try:
            answer = self.server.push(phone.device, sent, stop)
            if fault == "doubled":
                self.server.push(phone.device, sent, stop)
        except Cut:
            return
        if fault != "answer-lost":
            self._answered(phone, answer)

    def pull(self, number: int, fault: str = "") -> None:
        phone = self.phones[number]
        if fault == "request-lost":
            return
        version = len(self.server.rows)
        if phone.incarnation != self.server.incarnation or version < phone.cursor:
            phone.start_over(self.server.incarnation)
        after = phone.cursor
        page = self.server.rows[after : after + 2 * BATCH]
        if not page:
            return
        if self.bug == "cursor-before-data":
            phone.cursor = page[-1]["v"]
            if fault == "killed":
                return
        elif fault == "killed":
            return
        phone.mirror |= {row["v"]: copy.deepcopy(row) for row in page}
        phone.cursor = page[-1]["v"]
        self._confirm(phone)

    def replay(self, dice: random.Random) -> None:
        """A proxy repeats a request of long ago."""
        if self.old_requests:
            device, sent = dice.choice(self.old_requests)
            self.server.push(device, copy.deepcopy(sent), BATCH + 1)

    def back_up(self, number: int) -> None:
        self.backup = copy.deepcopy((self.server.rows, self.server.last_seq))
        phone = self.phones[number]
        self.phone_backups[phone.name] = copy.deepcopy(phone)

    def restore_server(self) -> None:
        if self.backup is None:
            return
        self.server.rows, self.server.last_seq = copy.deepcopy(self.backup)
        self.server.incarnation += 1
        self._count_destroyed()

    def restore_phone(self, number: int) -> None:
        name = self.phones[number].name
        if name in self.phone_backups:
            self.phones[number] = copy.deepcopy(self.phone_backups[name])
            self._count_destroyed()

    def evict(self, number: int) -> None:
        """The browser drops the storage: an empty phone with a new device id."""
        self.count += 1
        name = self.phones[number].name
        self.phones[number] = Phone(name, f"{name}.{self.count}")
        self.phone_backups.pop(name, None)
        self._count_destroyed()

    def settle(self) -> None:
        """Let the network be well until nothing moves any more."""
        for _ in range(4):
            for number, phone in enumerate(self.phones):
                for _ in range(len(self.saved) + 2):
                    self.push(number)
                    self.pull(number)
                    if not phone.pending() and phone.cursor == len(self.server.rows):
                        break

    # What must hold.

    def faults(self) -> list[str]:
        """Return each broken promise, in words; empty when all are kept."""
        return [*self._log_faults(), *self._phone_faults(), *self._overwritten()]

    def _log_faults(self) -> list[str]:
        ids = [row["id"] for row in self.server.rows]
        found = [f"lost {id_}" for id_ in self.saved if id_ not in ids]
        found = [f for f in found if f.removeprefix("lost ") not in self.destroyed]
        found += [f"doubled {id_}" for id_ in set(ids) if ids.count(id_) > 1]
        found += [f"alien {id_}" for id_ in ids if id_ not in self.saved]
        if [row["v"] for row in self.server.rows] != list(range(1, len(ids) + 1)):
            found.append("versions are not 1..n")
        return found

    def _phone_faults(self) -> list[str]:
        truth, found = _bytes(self.server.rows), []
        for phone in self.phones:
            if _bytes(phone.entries()) != truth:
                found.append(f"diverged {phone.name}")
            states = {row["state"] for row in phone.own.values()}
            if states - {"confirmed"}:
                found.append(f"unconfirmed on {phone.name}")
        return found

    def _overwritten(self) -> list[str]:
        """Every value that no longer shows was seen by the author of another."""
        live = applied(self.server.rows)
        standing = {head["id"] for head in heads(self.server.rows)}
        answered = {id_ for row in live for id_ in self.shown.get(row["id"], set())}
        return [
            f"silently overwritten {row['id']}"
            for row in live
            if row["id"] not in standing | answered
        ]

    def _answered(self, phone: Phone, answer: Any) -> None:
        for result in answer["results"]:
            row = phone.own.get(result["id"])
            if result["s"] == "fork":
                self._take_new_device(phone)
            elif result["s"] == "gap":
                phone.offer_again(result["expected"])
            elif row is not None:
                row["state"], row["v"] = "acked", result["v"]
                if self.bug == "refused-is-removed" and result["s"] == "quarantined":
                    del phone.own[row["m"]["id"]]
        self._confirm(phone)

    def _take_new_device(self, phone: Phone) -> None:
        self.count += 1
        phone.device = f"{phone.name}.{self.count}"
        rows = sorted(phone.own.values(), key=lambda row: row["m"]["seq"])
        for seq, row in enumerate(rows, start=1):
            row["m"] = row["m"] | {"seq": seq}
            row["state"] = "offered"

    def _trust(self, batch: list[dict[str, Any]]) -> None:
        # A captive portal says 200 to everything; only a client with the bug listens.
        if self.bug == "any-200-is-an-ack":
            for row in batch:
                row["state"], row["v"] = "confirmed", 0

    def _confirm(self, phone: Phone) -> None:
        here = {row["id"] for row in phone.mirror.values()}
        for row in phone.own.values():
            # Only what was acked: after a fork or a gap a row has to be sent again
            # under its number although it is known to be there, or the numbers
            # before the next new row are never filled.
            if row["state"] != "acked":
                continue
            if row["m"]["id"] in here:
                row["state"] = "confirmed"
            elif row["v"] <= phone.cursor:
                row["state"] = "offered"

    def _count_destroyed(self) -> None:
        """What is on no living storage any more is nobody's to bring back."""
        alive = {row["id"] for row in self.server.rows}
        alive |= {id_ for phone in self.phones for id_ in phone.own}
        self.destroyed |= {id_ for id_ in self.saved if id_ not in alive}


def _bytes(entries: list[dict[str, Any]]) -> str:
    result = fold(entries)
    conflicts = [[*place, values] for place, values in result.conflicts.items()]
    return json.dumps([result.records, conflicts, result.kindless])


def value_for(name: str, dice: random.Random) -> Any:
    if name == "_gone":
        return dice.random() < 0.7
    return "stop" if name == "kind" else f"w{dice.randrange(6)}"


def disaster(world: World, number: int, dice: random.Random) -> None:
    kind = dice.randrange(3)
    if kind == 0:
        world.restore_server()
    elif kind == 1:
        world.restore_phone(number)
    else:
        world.evict(number)


def run(seed: int, steps: int, bug: str | None = None) -> World:
    """Drive a world at random, then let it settle."""
    dice, world = random.Random(seed), World(bug)
    network = ["", "", "", "request-lost", "answer-lost", "doubled", "captive"]
    for _ in range(steps):
        number, luck = dice.randrange(3), dice.random()
        if luck < 0.4:
            name = dice.choice(FIELDS)
            world.write(number, dice.choice(RECORDS), name, value_for(name, dice))
        elif luck < 0.7:
            world.push(number, dice.choice(network), dice.choice([1, 2, 9, 9, 9]))
        elif luck < 0.93:
            world.pull(number, dice.choice(["", "", "request-lost", "killed"]))
        elif luck < 0.965:
            world.replay(dice)
        elif luck < 0.98:
            world.back_up(number)
        else:
            disaster(world, number, dice)
    world.settle()
    return world
