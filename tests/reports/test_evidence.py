"""What proves a release: the walk over rows and files, one file, and the bundle."""

from __future__ import annotations

import io
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from firm import storage
from firm.errors import NotAllowed
from reports.models import Release
from reports.services import seals
from reports.services.evidence import anchors, bundle, chains, everything, walk
from tests.support.cast import Cast
from tests.support.released import freeze, signed, two_issues
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def twice(cast: Cast) -> Walk:
    return two_issues(cast)


def found(walked: Walk, kept: Any = ()) -> list[str]:
    return [str(one) for one in walk.faults(walked.cast.reviewer.actor, kept)]


def bundled(walked: Walk) -> bytes:
    return bundle.build(
        actor=walked.cast.reviewer.actor, visit=walked.visit, now=timezone.now()
    )


def outside(content: bytes, folder: Path, *arguments: str) -> tuple[int, str]:
    """Check a bundle as an outsider: another folder, no packages, nothing inherited."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        packed.extractall(folder)
    return check(folder, *arguments)


def check(folder: Path, *arguments: str) -> tuple[int, str]:
    done = subprocess.run(
        ["/usr/bin/python3", "-I", "-S", folder / "check.py", *arguments],
        cwd="/",
        env={"PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"},
        capture_output=True,
        text=True,
        check=False,
        timeout=100,
    )
    return done.returncode, done.stdout + done.stderr


def test_nothing_is_wrong_with_what_was_just_released(twice: Walk) -> None:
    assert found(twice) == []
    held = list(everything.heads(timezone.now()))
    assert found(twice, held) == []
    assert anchors.read(anchors.written(held)) == held


def test_a_release_under_way_is_nothing_wrong(cast: Cast) -> None:
    walked = signed(cast)
    freeze(walked)
    assert found(walked) == []


def test_ev_02_an_outsider_checks_two_issues_with_poppler_openssl_and_python(
    twice: Walk, tmp_path: Path
) -> None:
    """EV-02: a bundle of an issue and its correction, in a clean environment."""
    code, said = outside(bundled(twice), tmp_path, "--root", seals.root_fingerprint())

    assert code == 0, said
    assert "issue 1: link 1 of the chain, 1 photos" in said
    assert "issue-2/report.pdf: sealed as a whole, with its snapshot in it" in said
    assert said.endswith("Everything in this bundle is as it was released.\n")


def test_ev_02_a_changed_bundle_fails_and_names_what_differs(
    twice: Walk, tmp_path: Path
) -> None:
    """EV-02: each kind of file, and a list made to fit, which nobody signed."""
    content = bundled(twice)
    code, _ = outside(content, tmp_path)
    assert code == 0
    names = sorted(p for p in tmp_path.rglob("*") if p.is_file())

    for path in names:
        if path.name == "check.py":
            continue
        whole = path.read_bytes()
        changed = bytearray(whole)
        changed[len(changed) // 2] ^= 1
        path.write_bytes(changed)
        code, said = check(tmp_path)
        named = path.name.replace("manifest.sig", "manifest.json")
        assert code == 1, path
        assert named in said or path.name in {"root.pem", "seal.pem"}, said
        path.write_bytes(whole)
    (tmp_path / "more.txt").write_text("x")
    assert "more.txt is not in the list" in check(tmp_path)[1]


def test_ev_02_another_root_or_another_chain_is_told_apart(
    twice: Walk, tmp_path: Path
) -> None:
    """EV-02: what the outsider knows from elsewhere counts."""
    content = bundled(twice)
    code, said = outside(content, tmp_path, "--root", "00" * 32)
    assert (code, "not the root you were told of" in said) == (1, True)

    entries = list(chains.releases(twice.cast.reviewer.actor))
    good, bad = f"2:{entries[1].stored}", f"2:{entries[0].stored}"
    assert check(tmp_path, "--anchor", good)[0] == 0
    assert "link 2 is not the one" in check(tmp_path, "--anchor", bad)[1]


def test_only_who_may_release_gets_the_bundle(twice: Walk, cast: Cast) -> None:
    with pytest.raises(NotAllowed):
        bundle.build(actor=cast.scheduler.actor, visit=twice.visit, now=timezone.now())


def test_the_command_says_which_release_a_file_is(
    twice: Walk, tmp_path: Path, capsys: Any
) -> None:
    for issue, said in ((1, "replaced by issue 2"), (2, "the newest issue")):
        row = Release.objects.get(issue=issue)
        path = tmp_path / f"{issue}.pdf"
        path.write_bytes(storage.get(row.artefacts.get(kind="pdf").storage_key))
        call_command("verify_release", path)
        told = capsys.readouterr().out
        assert f"{issue}.pdf: genuine" in told
        assert f"report {row.number}, issue {issue} of Northside House Looks" in told
        assert said in told
    path = tmp_path / "bundle.zip"
    path.write_bytes(bundled(twice))
    call_command("verify_release", path)
    assert capsys.readouterr().out.count(": genuine") == 8


@pytest.mark.parametrize("where", [0.1, 0.5, 0.999])
def test_the_command_refuses_a_changed_file(
    twice: Walk, tmp_path: Path, where: float, capsys: Any
) -> None:
    row = Release.objects.get(issue=1)
    content = bytearray(storage.get(row.artefacts.get(kind="pdf").storage_key))
    content[int(len(content) * where)] ^= 8
    path = tmp_path / "report.pdf"
    path.write_bytes(content)

    with pytest.raises(CommandError, match="1 not as released"):
        call_command("verify_release", path)
    told = capsys.readouterr().out
    assert "report.pdf: NOT AS RELEASED" in told
    assert "its seal does not hold" in told


def test_a_genuine_file_of_a_damaged_record_is_not_called_genuine(
    twice: Walk, tmp_path: Path, capsys: Any
) -> None:
    row = Release.objects.get(issue=1)
    file = row.artefacts.get(kind="web")
    path = tmp_path / "report.html"
    path.write_bytes(storage.get(file.storage_key))
    storage.remove(file.storage_key)

    with pytest.raises(CommandError):
        call_command("verify_release", path)
    assert "web: the file is gone" in capsys.readouterr().out


def test_the_chains_are_walked_for_every_firm(
    twice: Walk, tmp_path: Path, capsys: Any
) -> None:
    call_command("anchors")
    kept = tmp_path / "anchors.jsonl"
    kept.write_text(capsys.readouterr().out)

    call_command("verify_chains", anchors=kept)
    told = capsys.readouterr().out
    assert "northside: nothing wrong" in told
    assert "elsewhere: nothing wrong" in told
    kept.write_text(kept.read_text().replace('"seq": 2', '"seq": 3'))
    with pytest.raises(CommandError):
        call_command("verify_chains", anchors=kept)


def test_the_heads_are_mailed_to_owners(
    twice: Walk, mailoutbox: Any, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        assert everything.mail_heads(timezone.now()) == 1
    body = mailoutbox[-1].body
    lines = "".join(x + "\n" for x in body.splitlines() if x.startswith("{"))
    connection.cursor().execute(
        "select set_config('app.firm', %s, true)", [str(twice.cast.northside.pk)]
    )
    assert found(twice, anchors.read(lines)) == []
    assert len(anchors.read(lines)) == 2
