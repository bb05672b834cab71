"""Everything that shaped a report's words, by version or by digest."""

from __future__ import annotations

from typing import Final

from django.conf import settings

from findings.rules import loader as rule_files
from firm import canonical
from firm.storage import sha256
from reports.services.snapshot.material import Material

TEMPLATES: Final = "1"


def versions(material: Material) -> dict[str, str]:
    """Return what shaped the words, so that the report can be explained later."""
    pack = material.seen.pack
    line = rule_files.timeline(material.visit.property.state)
    return {
        "software": settings.FIRM_VERSION,
        "pack": f"{pack.pack} {pack.version}",
        "ruleset": material.seen.rules.version,
        "timeline": line.place if line else "none",
        "passages": _digest_of("passages"),
        "words": _digest_of("words"),
        "templates": TEMPLATES,
    }


def _digest_of(folder: str) -> str:
    """Return a short digest of a folder's files: any change of them changes it."""
    files = sorted((settings.FIRM_DATA_DIR / folder).glob("*"))
    return canonical.digest([[path.name, sha256(path.read_bytes())] for path in files])[
        :16
    ]
