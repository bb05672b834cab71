"""Pin every package with hashes, in the groups that pyproject.toml names.

Run with `make lock`. One resolution covers both files, so that what the tests use can
never differ from what the application uses.
"""

import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOR_TESTS = ("tests", "checks")
PURPOSES = {
    "web": "Pages, API and their server",
    "data": "Database, queue and file store",
    "embedded": "The same servers on one machine",
    "facts": "Rules, packs, canonical data and calendars",
    "words": "Finding, spelling and measuring prose",
    "documents": "PDF, pictures and spreadsheets",
    "calls": "Our own HTTP client, for the demo's people",
    "tests": "Running the tests",
    "checks": "Reading the code",
}
# A package's line with its hashes, up to the next package.
BLOCK = re.compile(r"^[A-Za-z0-9].*?(?=^[A-Za-z0-9#]|\Z)", re.MULTILINE | re.DOTALL)
HEADER = "# Pinned by `make lock` from the groups in pyproject.toml; do not edit.\n"


def plain(name: str) -> str:
    """Return a package's name without extras and version, as indexes compare it."""
    bare = re.split(r"[\[=~<>!; ]", name, maxsplit=1)[0]
    return re.sub(r"[-_.]+", "-", bare).lower()


def resolve(names: list[str], pins: dict[str, str]) -> dict[str, str]:
    """Return the pinned block of each package, its hashes included."""
    with tempfile.TemporaryDirectory() as folder:
        loose = Path(folder) / "loose.in"
        loose.write_text("\n".join(names) + "\n")
        pinned = Path(folder) / "pinned.txt"
        kept = Path(folder) / "kept.txt"
        kept.write_text("".join(f"{name}=={pin}\n" for name, pin in pins.items()))
        subprocess.run(
            [
                *(sys.executable, "-m", "piptools", "compile", "--quiet"),
                *("--generate-hashes", "--allow-unsafe", "--strip-extras"),
                *("--no-emit-index-url", "--no-emit-trusted-host"),
                *("--no-header", "--no-annotate", "--no-emit-find-links"),
                *(f"--constraint={kept}" if pins else "--no-config",),
                *("--output-file", pinned, loose),
            ],
            check=True,
        )
        blocks = re.findall(
            r"^[A-Za-z0-9].*?(?=^[A-Za-z0-9#]|\Z)",
            pinned.read_text(),
            re.MULTILINE | re.DOTALL,
        )
    return {plain(block): block.rstrip() + "\n" for block in blocks}


def section(title: str, names: list[str], blocks: dict[str, str]) -> str:
    """Return one group of pinned blocks, and take them out of the rest."""
    wanted = sorted({plain(name) for name in names} & blocks.keys())
    return f"\n# {title}\n" + "".join(blocks.pop(name) for name in wanted)


def main() -> None:
    """Write requirements.txt and tests/requirements.txt."""
    groups: dict[str, list[str]] = tomllib.loads((ROOT / "pyproject.toml").read_text())[
        "dependency-groups"
    ]
    runtime = [n for g, names in groups.items() if g not in FOR_TESTS for n in names]
    everything = [name for names in groups.values() for name in names]
    blocks = resolve(everything, pins={})
    pins = {n: re.split(r"==|[ \\]", b)[1] for n, b in blocks.items()}
    ours = resolve(runtime, pins)
    theirs = {name: block for name, block in blocks.items() if name not in ours}
    for path, rest, wanted, head in (
        (ROOT / "requirements.txt", ours, False, HEADER),
        (
            ROOT / "tests/requirements.txt",
            theirs,
            True,
            HEADER + "-r ../requirements.txt\n",
        ),
    ):
        parts = [
            section(title, groups[group], rest)
            for group, title in PURPOSES.items()
            if (group in FOR_TESTS) is wanted
        ]
        parts.append(section("What those need", list(rest), rest))
        path.write_text(head + "".join(parts))


if __name__ == "__main__":
    main()
