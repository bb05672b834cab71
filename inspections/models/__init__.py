"""Everything about who goes where, when, and what their phones send."""

from inspections.models.booking import (
    Agreement,
    AgreementSignature,
    Companion,
    Contact,
    Hold,
    Interest,
    Party,
    Property,
    Visit,
)
from inspections.models.log import (
    Device,
    DeviceCursor,
    Head,
    LogRow,
    ManifestProof,
)
from inspections.models.photos import PhotoFile

__all__ = [
    "Agreement",
    "AgreementSignature",
    "Companion",
    "Contact",
    "Device",
    "DeviceCursor",
    "Head",
    "Hold",
    "Interest",
    "LogRow",
    "ManifestProof",
    "Party",
    "PhotoFile",
    "Property",
    "Visit",
]
