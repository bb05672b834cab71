"""A rule's own lines from its file, for somebody who writes another one like it."""

import re
from functools import cache
from pathlib import Path

from findings.rules.own import SAID
from findings.rules.yamlfile import FIXTURES

SAID_BY_FILES = re.compile(rf"\boutcome: ({'|'.join(SAID.values())})\b")
START, INDENT = "  - id: ", 4
GIVEN = ("version:", "settled:")


@cache
def like(rule_id: str, root: Path = FIXTURES / "rules") -> str:
    """Give the text of a rule without what the book itself gives; empty without one."""
    for path in sorted(root.glob("*/*.yaml")):
        lines = path.read_text(encoding="utf-8").splitlines()
        if f"{START}{rule_id}" in lines:
            first = lines.index(f"{START}{rule_id}") + 1
            return _kept(_block(lines[first:]))
    return ""


def _block(lines: list[str]) -> list[str]:
    """Take the lines of one rule, dedented: up to the next rule or its comment."""
    found = []
    for line in lines:
        if line.strip() and len(line) - len(line.lstrip()) < INDENT:
            break
        found.append(line[INDENT:])
    return found


def _kept(lines: list[str]) -> str:
    """Leave out each top key that the book gives, with all that hangs on it."""
    kept, leaving = [], False
    for line in lines:
        if line[:1].strip() and not line.startswith(("-", "#")):
            leaving = line.startswith(GIVEN)
        if not leaving:
            kept.append(line.rstrip())
    return SAID_BY_FILES.sub(_said, "\n".join(kept).strip() + "\n")


def _said(found: re.Match[str]) -> str:
    return f"outcome: {next(k for k, v in SAID.items() if v == found[1])}"
