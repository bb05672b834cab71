"""Random tamperings with released evidence: python -m tests.drills.tamper.

Prints the seed first and the figure last; ends with 1 when one was not noticed. Each
is noticed by what people have: `verify_chains` with anchors, `verify_release`, or the
outsider's check of a bundle.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings_test")
os.environ["KINGPOST_TEST_DB"] = f"drill{os.getpid()}"
django.setup()

from django.conf import settings  # noqa: E402
from django.db import IntegrityError, connection, transaction  # noqa: E402

from firm import storage  # noqa: E402
from firm.tenancy import bind, bound  # noqa: E402
from reports.models import Artefact  # noqa: E402
from reports.services.evidence import examine, walk  # noqa: E402
from tests.drills import files, rows  # noqa: E402
from tests.drills.world import World, made  # noqa: E402
from tests.faults.world import Database  # noqa: E402

Noticed = tuple[str, str]  # what was done; the first thing named, empty when none was


@dataclass
class Tally:
    """How many of each kind were done, and which of them nobody noticed."""

    done: Counter[str] = field(default_factory=Counter)
    missed: list[str] = field(default_factory=list)


def in_rows(world: World, chance: random.Random) -> Noticed:
    """Tamper inside a transaction, look, take it back."""
    how = chance.choices(
        (
            *(rows.one_field, rows.two_swapped, rows.one_gone, rows.tail_gone),
            *(rows.written_anew, rows.another_root),
        ),
        weights=(12, 2, 2, 2, 2, 1),
    )[0]
    said = ("", "")
    while not said[0]:
        try:
            with transaction.atomic():
                bind(world.cast.northside.pk)
                what, words = how(world, chance)
                said = what, _first(world, words)
                transaction.set_rollback(True)
        except IntegrityError:
            # The database refused this one by itself: another is tried.
            how = rows.one_field
    return said


def _first(world: World, words: tuple[str, ...]) -> str:
    """Return the first fault, if it names what was tampered with."""
    first = next(walk.faults(world.cast.owner.actor, world.anchors), None)
    told = str(first or "")
    return told if any(word in told for word in words) else ""


def in_files(world: World, chance: random.Random) -> Noticed:
    """Change a stored file, let the walk look."""
    with bound(world.cast.northside.pk):
        every = files.kept_files(world)
        kind, path = chance.choice(every)
        same = [other for name, other in every if name == kind and other != path]
        with files.changed(path, chance, same) as how:
            words = (f"{kind}", "photo")
            return f"stored {kind}: {how}", _first(world, words)


def in_pdf(world: World, chance: random.Random) -> Noticed:
    """Change a PDF on its way, let the command's examination look."""
    with bound(world.cast.northside.pk):
        row = chance.choice(list(Artefact.objects.filter(kind="pdf")))
        content = storage.get(row.storage_key)
    how = chance.choice(("bit", "bit", "bit", "bit", "longer"))
    new = rows.flipped(content, chance)
    if how == "longer":
        new = content + chance.randbytes(chance.randrange(1, 60))
    verdict = examine.examine("report.pdf", new)[0]
    return f"PDF on its way: {how}", "; ".join(verdict.against)


def in_bundle(world: World, chance: random.Random) -> Noticed:
    """Change a file of an unpacked bundle, let an outsider's check look."""
    paths = [p for p in sorted(world.folder.rglob("*")) if p.is_file()]
    # The check that looks is a clean copy: an outsider need not take ours.
    path = chance.choice([one for one in paths if one.name != "check.py"])
    same = [one for one in paths if one.name == path.name and one != path]
    with files.changed(path, chance, same) as how:
        fits = chance.random() < 0.3 and path.name not in {
            "manifest.json",
            "manifest.sig",
        }
        if fits:
            _list_made_to_fit(world, path)
        said = _outside(world)
        if fits:
            _list_put_back(world)
    extra = ", with a list made to fit" if fits else ""
    return f"bundle, {path.suffix}: {how}{extra}", said


def _list_made_to_fit(world: World, path: Path) -> None:
    manifest = world.folder / "manifest.json"
    world.whole_list = manifest.read_bytes()
    told = json.loads(world.whole_list)
    name = path.relative_to(world.folder).as_posix()
    if path.exists():
        told["files"][name] = storage.sha256(path.read_bytes())
    else:
        told["files"].pop(name)
    manifest.write_text(json.dumps(told, sort_keys=True, separators=(",", ":")))


def _list_put_back(world: World) -> None:
    (world.folder / "manifest.json").write_bytes(world.whole_list)


def _outside(world: World) -> str:
    """Return what the check says is wrong; empty when it finds nothing."""
    done = subprocess.run(
        [
            "/usr/bin/python3",
            "-I",
            "-S",
            world.folder / "check.py",
            "--root",
            world.root,
        ],
        env={"PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    last = done.stdout.strip().splitlines()[-1:] or [done.stderr.strip()]
    return last[0] if done.returncode == 1 and last[0].startswith("FAILED") else ""


KINDS: tuple[tuple[Callable[[World, random.Random], Noticed], int], ...] = (
    (in_rows, 50),
    (in_files, 20),
    (in_pdf, 15),
    (in_bundle, 15),
)


def run(world: World, count: int, chance: random.Random) -> Tally:
    """Tamper as often as asked, each time with something that is whole."""
    tally = Tally()
    ways, weights = zip(*KINDS, strict=True)
    for number in range(1, count + 1):
        what, said = chance.choices(ways, weights=weights)[0](world, chance)
        tally.done[what] += 1
        if not said:
            tally.missed.append(f"{number}: {what}")
        if number % 100 == 0:
            print(f"  {number}, {len(tally.missed)} not noticed", flush=True)
    return tally


def nothing_is_wrong(world: World) -> bool:
    """What was not tampered with is found whole, before and after."""
    first = next(walk.faults(world.cast.owner.actor, world.anchors), None)
    said = _outside(world)
    if first or said:
        print(f"untouched evidence is called wrong: {first or said}")
    return not first and not said


def main() -> int:
    reader = argparse.ArgumentParser(prog="python -m tests.drills.tamper")
    reader.add_argument("--count", type=int, default=1_000)
    reader.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6)
    )
    asked = reader.parse_args()
    print(f"seed {asked.seed}, {_versions()}")
    begun = time.monotonic()
    with Database(), made() as world:
        whole = nothing_is_wrong(world)
        tally = run(world, asked.count, random.Random(asked.seed))
        whole = nothing_is_wrong(world) and whole
        seconds = time.monotonic() - begun
    _print(asked.count, tally, seconds)
    return 0 if whole and not tally.missed else 1


def _versions() -> str:
    said: Any = subprocess.run(
        ["openssl", "version"], capture_output=True, text=True, check=True
    ).stdout.split()[1]
    with connection.cursor() as cursor:
        cursor.execute("show server_version")
        database = cursor.fetchone()[0]
    return (
        f"software {settings.FIRM_VERSION}, Python {platform.python_version()},"
        f" Django {django.get_version()}, PostgreSQL {database}, openssl {said}"
    )


def _print(count: int, tally: Tally, seconds: float) -> None:
    for what, often in sorted(tally.done.items()):
        print(f"  {often:5} {what}")
    for one in tally.missed:
        print(f"  NOT NOTICED {one}")
    print(
        f"{count} tamperings of {len(tally.done)} kinds in {seconds:.0f} s; noticed,"
        " with the first bad item named:"
    )
    print(f"{count - len(tally.missed)} of {count}")


if __name__ == "__main__":
    sys.exit(main())
