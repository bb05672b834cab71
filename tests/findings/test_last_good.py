"""A broken rule, timeline or pack does not load and says where; the last good stays."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from django.urls import reverse

from findings import kept
from findings.apps import data_files
from findings.rules import loader, timelines
from findings.rules.yamlfile import RuleFileError
from findings.standards import loader as packs
from findings.standards.loader import PackError
from tests.support.cast import Cast

FIXTURES = loader.FIXTURES


@pytest.fixture
def copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Copies of the real files to break, and a place of their own for what is kept."""
    place = tmp_path / "kept"
    monkeypatch.setattr(kept._Place, "folder", place)
    monkeypatch.setattr(kept, "refused", {})
    for name in ("rules", "timelines", "packs"):
        shutil.copytree(FIXTURES / name, tmp_path / name)
    yield tmp_path
    assert not [path for path in place.glob(".*") if place.exists()]


def test_nothing_that_is_in_force_here_is_an_older_copy() -> None:
    """The tests would else speak of files that are no longer there."""
    assert data_files() == []
    assert kept.refused == {}


def broken(path: Path, old: str, new: str) -> int:
    """Break a file at the first place where a text stands; give its line."""
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    return text[: text.index(old)].count("\n") + 1


def test_a_broken_rule_file_leaves_the_last_good_set_in_force(copies: Path) -> None:
    good = kept.last_good("rules", copies / "rules", loader.read)
    path = copies / "rules/garage/garage.yaml"
    line = broken(path, "    title:", "    titel:")

    found = kept.last_good("rules", copies / "rules", loader.read)

    assert found.version == good.version
    assert list(found.rules) == list(good.rules)
    assert kept.refused == {
        "rules": f"{path}, line {line}, titel: is not a key known here"
    }


def test_what_is_put_right_comes_into_force_and_is_the_last_good_one(
    copies: Path,
) -> None:
    path = copies / "rules/garage/garage.yaml"
    good = kept.last_good("rules", copies / "rules", loader.read)
    text = path.read_text()
    broken(path, "    title:", "    titel:")
    kept.last_good("rules", copies / "rules", loader.read)
    path.write_text(text + "# put right\n")

    newer = kept.last_good("rules", copies / "rules", loader.read)
    path.write_text("nothing: [")
    after = kept.last_good("rules", copies / "rules", loader.read)

    assert newer.version != good.version
    assert after.version == newer.version
    assert "garage.yaml, line" in kept.refused["rules"]
    assert len(list((copies / "kept").glob("rules.*"))) == 1


def test_a_table_is_part_of_the_set(copies: Path) -> None:
    good = kept.last_good("rules", copies / "rules", loader.read)
    broken(copies / "rules/tables/plumbing.yaml", "    provenance:", "    origin:")

    assert kept.last_good("rules", copies / "rules", loader.read).version == (
        good.version
    )
    assert "plumbing.yaml, line" in kept.refused["rules"]


def test_without_a_last_good_one_the_refusal_stands(copies: Path) -> None:
    broken(copies / "rules/garage/garage.yaml", "    title:", "    titel:")

    with pytest.raises(RuleFileError, match=r"garage\.yaml, line \d+, titel"):
        kept.last_good("rules", copies / "rules", loader.read)


def test_a_timeline_keeps_its_last_good_lines(copies: Path) -> None:
    path = copies / "timelines/nc.yaml"
    good = kept.last_good("timeline-nc", path, timelines.load)
    line = broken(path, "edition: 2020", "edition: soon")

    assert kept.last_good("timeline-nc", path, timelines.load) == good
    assert kept.refused["timeline-nc"].startswith(f"{path}, line {line}, edition")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("duties:", "dutys:", "unknown field `dutys`"),
        ("system: electrical", "sistem: electrical", "unknown field `sistem`"),
        ("state: NC", "state: [NC", "line"),
    ],
)
def test_a_pack_keeps_its_last_good_form(
    copies: Path, old: str, new: str, says: str
) -> None:
    path = copies / "packs/nc.yaml"
    good = packs.last_good("NC", path)
    line = broken(path, old, new)

    assert packs.last_good("NC", path) == good
    assert kept.refused["pack-nc"].startswith("nc.yaml, line ")
    assert says in kept.refused["pack-nc"]
    told = int(kept.refused["pack-nc"].split("line ")[1].split(":")[0])
    # A bracket that nobody closed is noticed on a later line.
    assert told == line or (says == "line" and told > line)


def test_what_cannot_be_kept_is_used_all_the_same(
    copies: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (copies / "kept").write_text("a file where a folder should be")

    found = kept.last_good("rules", copies / "rules", loader.read)

    assert found.rules
    (copies / "kept").unlink()


def test_the_system_check_names_file_and_line(
    copies: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    good = packs.last_good("NC", copies / "packs/nc.yaml")
    (copies / "packs/nc.yaml").write_text("state: [\n")
    packs.last_good("NC", copies / "packs/nc.yaml")

    (warning,) = data_files()

    assert good.state == "NC"
    assert "pack-nc: nc.yaml, line" in warning.msg
    assert "stays in force" in str(warning.hint)


@pytest.mark.django_db
def test_the_firms_pages_say_that_an_older_set_is_in_force(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    why = {"rules": "rules/garage.yaml, line 7, titel: no key",
           "pack-nc": "nc.yaml, line 3: no key"}  # fmt: skip
    data_files()  # read once, so that nothing is read anew below
    monkeypatch.setattr(kept, "refused", why)
    slug = cast.owner.actor.firm.slug
    client = cast.owner.client()

    book = client.get(reverse("rule-list", args=[slug])).content.decode()
    states = client.get(reverse("standard-list", args=[slug])).content.decode()

    assert "An older set is in force" in book
    assert "rules/garage.yaml, line 7, titel" in book
    assert "nc.yaml" not in book
    assert "what was in force stays" in states
    assert "nc.yaml, line 3" in states


def mutated(random: Random, text: str) -> str:
    """Give a file with one line lost, moved in, cut or doubled."""
    lines = text.splitlines(keepends=True)
    at = random.randrange(len(lines))
    change: list[Any] = [
        lambda: lines.pop(at),
        lambda: lines.insert(at, "   " + lines[at]),
        lambda: lines.__setitem__(at, "\t" + lines[at]),
        lambda: lines.__setitem__(at, lines[at].replace(": ", ":", 1)),
        lambda: lines.__setitem__(at, lines[at][: len(lines[at]) // 2] + "\n"),
        lambda: lines.insert(at, lines[at]),
        lambda: lines.__setitem__(at, lines[at].replace("{", "[", 1)),
    ]
    random.choice(change)()
    return "".join(lines)


def test_however_a_file_is_broken_the_refusal_names_file_and_line(
    copies: Path,
) -> None:
    random = Random(20261125)
    files = sorted((copies / "rules").glob("*/*.yaml"))
    files += sorted((copies / "timelines").glob("*.yaml"))
    refused: list[tuple[bool, bool, bool]] = []
    for _ in range(150):
        path = random.choice(files)
        text = path.read_text()
        path.write_text(mutated(random, text))
        try:
            if path.parent.name == "timelines":
                timelines.load(path)
            else:
                one = copies / "one"
                folder = one / path.parent.name
                folder.mkdir(parents=True)
                shutil.copy(path, folder)
                loader.read(one)
        except RuleFileError as error:
            told = error
            refused.append((told.line > 0, path.name in str(told), told.key != ""))
        finally:
            path.write_text(text)
            shutil.rmtree(copies / "one", ignore_errors=True)
    assert len(refused) > 50
    assert set(refused) == {(True, True, True)}


def test_however_a_pack_is_broken_the_refusal_names_file_and_line(
    copies: Path,
) -> None:
    random = Random(20261125)
    path = copies / "packs/nc.yaml"
    text, refused = path.read_text(), list[str]()
    for _ in range(40):
        path.write_text(mutated(random, text))
        try:
            packs.read(path)
        except PackError as error:
            refused.append(str(error)[:14])
    assert len(refused) > 8
    assert set(refused) == {"nc.yaml, line "}
