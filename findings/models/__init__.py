"""What was seen and what it means: findings, words, notes, signatures, the library."""

from findings.models.findings import (
    Finding,
    Revision,
    SubstanceChange,
)
from findings.models.library import (
    PassageApproval,
    PassageImport,
    PassageVersion,
    WordingChoice,
)
from findings.models.pictures import (
    PhotoPreview,
    Rendition,
)
from findings.models.review import (
    ReviewCover,
    ReviewNote,
    ReviewSitting,
    ReviewTurn,
    SignOff,
)
from findings.models.standards import (
    DutyCheck,
    NoticeText,
    RuleRuling,
)

__all__ = [
    "DutyCheck",
    "Finding",
    "NoticeText",
    "PassageApproval",
    "PassageImport",
    "PassageVersion",
    "PhotoPreview",
    "Rendition",
    "ReviewCover",
    "ReviewNote",
    "ReviewSitting",
    "ReviewTurn",
    "Revision",
    "RuleRuling",
    "SignOff",
    "SubstanceChange",
    "WordingChoice",
]
