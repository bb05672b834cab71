"""Phones against a server, with faults on every way: python -m tests.faults.

Prints the seed first and the figure last; ends with 1 when anything went wrong.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import random
import shutil
import subprocess
import sys
import time
from dataclasses import asdict
from pathlib import Path
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings_test")
os.environ["KINGPOST_TEST_DB"] = f"faults{os.getpid()}"
django.setup()

from playwright._impl._driver import compute_driver_executable  # noqa: E402

from tests.faults.verdict import Verdict, judge  # noqa: E402
from tests.faults.world import (  # noqa: E402
    Database,
    Killer,
    Server,
    World,
    make_world,
    rows_of,
    scratch,
)

HERE = Path(__file__).resolve().parent
CLIENT = HERE.parents[1] / "static" / "js" / "field"
BUGS = ("any-200-is-an-ack", "cursor-before-data", "refused-is-removed")
SERVER_BUGS = ("no-id-check", "last-writer-wins")
RECORDS = 40


def main() -> int:
    asked = _asked()
    print(
        f"seed {asked.seed}, {asked.phones} phones, Python {platform.python_version()}"
    )
    verdict = run(asked)
    return 0 if verdict.clean != bool(asked.bug) else 1


def _asked() -> argparse.Namespace:
    reader = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    reader.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6)
    )
    reader.add_argument("--entries", type=int, default=10_000)
    reader.add_argument("--photos", type=int, default=300)
    reader.add_argument("--phones", type=int, default=3)
    reader.add_argument("--rate", type=float, default=0.3, help="of broken requests")
    reader.add_argument("--kill-every", type=float, default=6.0, help="seconds")
    reader.add_argument("--bug", choices=(*BUGS, *SERVER_BUGS), default="")
    return reader.parse_args()


def run(asked: argparse.Namespace) -> Verdict:
    """Let it all happen, then judge; prints the figure last."""
    folder, begun = scratch(), time.monotonic()
    wsgi = "firm.wsgi:application"
    if asked.bug in SERVER_BUGS:
        os.environ["KINGPOST_PLANTED"] = asked.bug
        wsgi = "tests.faults.planted:application"
    with Database() as database:
        server = Server(database, folder, wsgi)
        world = make_world(RECORDS)
        server.start()
        killer = Killer(server, asked.seed, asked.kill_every)
        killer.start()
        try:
            told = _phones(asked, world, server, folder, killer)
        finally:
            killer.stop()
            server.kill()
        rows = rows_of(world)
        verdict = judge(rows, told["phones"], folder / "files")
    shutil.rmtree(folder)
    _print(asked, rows, told, server.kills, verdict, time.monotonic() - begun)
    return verdict


def _phones(
    asked: argparse.Namespace,
    world: World,
    server: Server,
    folder: Path,
    killer: Killer,
) -> dict[str, Any]:
    plan, out = folder / "plan.json", folder / "told.json"
    plan.write_text(json.dumps(_plan(asked, world, server)))
    node = compute_driver_executable()[0]
    process = subprocess.Popen(
        [node, HERE / "run.mjs", CLIENT, plan, out], stdout=subprocess.PIPE, text=True
    )
    for line in process.stdout or ():
        print(f"  {line.strip()}", flush=True)
        # A restore makes every phone offer all it has: it would heal a planted mistake.
        if "backup" in line and not asked.bug:
            killer.backup()
        if "restore" in line and not asked.bug:
            killer.restore()
        if "settling" in line:
            killer.stop()
    if process.wait() != 0:
        raise RuntimeError("the phones broke down; see above")
    told: dict[str, Any] = json.loads(out.read_text())
    return told


def _plan(asked: argparse.Namespace, world: World, server: Server) -> dict[str, Any]:
    names = ("seed", "phones", "entries", "photos", "rate", "bug")
    return {name: getattr(asked, name) for name in names} | {
        "visit": str(world.visit.pk),
        "user": str(world.cast.ines.member.pk),
        "base": server.base,
        "cookie": world.cookie,
        "records": world.records,
    }


def _print(
    asked: argparse.Namespace,
    rows: list[dict[str, Any]],
    told: dict[str, Any],
    kills: int,
    verdict: Verdict,
    seconds: float,
) -> None:
    counts = dict(sorted(told["counts"].items())) | {"server_killed": kills}
    if not asked.bug:
        counts["server_restored"] = 1
    faults, phones = sum(counts.values()), told["phones"]
    saved = sum(len(phone["saved"]) for phone in phones)
    photos = sum(len(phone["photos"]) for phone in phones)
    conflicts = len(phones[0]["fold"]["conflicts"])
    alarms: dict[str, int] = {}
    for phone in phones:
        for name, count in phone["alarms"].items():
            alarms[name] = alarms.get(name, 0) + count
    apart = sum(1 for row in rows if row["status"] == "quarantined")
    print(f"faults: {json.dumps(counts)}")
    print(f"alarms of the phones: {json.dumps(alarms)}")
    bug = f", with the planted bug {asked.bug}" if asked.bug else ""
    print(
        f"seed {asked.seed}{bug}: {saved} entries and {photos} photos from"
        f" {asked.phones} phones, {faults} faults of {len(counts)} kinds in"
        f" {seconds:.0f} s; {conflicts} conflicts kept and shown, {apart} set apart;"
        f" {verdict.lost} lost, {verdict.doubled} doubled,"
        f" {verdict.overwritten} silently overwritten, {verdict.diverged} diverged,"
        f" {verdict.photos_wrong} photos wrong, {verdict.unconfirmed} unconfirmed"
    )
    if not verdict.clean:
        print(json.dumps(asdict(verdict)))


if __name__ == "__main__":
    sys.exit(main())
