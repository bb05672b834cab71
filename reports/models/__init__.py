"""Releases, the doors to them, and what their readers write."""

from reports.models.doors import Consent, LinkKey, LinkOpening, ShareLink
from reports.models.readers import (
    Attachment,
    Complaint,
    ListLine,
    Override,
    Question,
    RecheckItem,
    TakenBack,
    ThreadEntry,
)
from reports.models.releases import Artefact, Release, ReleaseEntry
from reports.models.seals import Seal, SealRoot
from reports.models.urgent import UrgentFile, UrgentNotice

__all__ = [
    "Artefact",
    "Attachment",
    "Complaint",
    "Consent",
    "LinkKey",
    "LinkOpening",
    "ListLine",
    "Override",
    "Question",
    "RecheckItem",
    "Release",
    "ReleaseEntry",
    "Seal",
    "SealRoot",
    "ShareLink",
    "TakenBack",
    "ThreadEntry",
    "UrgentFile",
    "UrgentNotice",
]
