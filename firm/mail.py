"""Sending mail: subject and text from two templates, on commit or at once."""

from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.template.loader import render_to_string

from firm.models import Firm


def send(*, firm: Firm, to: str, template: str, context: dict[str, Any]) -> None:
    """Send `<template>_subject.txt` and `<template>.txt` when this commits."""
    message = _message(firm, to, template, context)
    transaction.on_commit(lambda: message.send(fail_silently=False), robust=True)


def send_now(
    *, firm: Firm, to: str, template: str, context: dict[str, Any], work: UUID
) -> None:
    """Send from background work: a failure is raised, so that it is tried again.

    The message is named after the work, so that a mailbox may know a repeat.
    """
    message = _message(firm, to, template, context)
    host = settings.DEFAULT_FROM_EMAIL.rpartition("@")[2]
    message.extra_headers["Message-ID"] = f"<{work}@{host}>"
    message.send(fail_silently=False)


def _message(
    firm: Firm, to: str, template: str, context: dict[str, Any]
) -> EmailMessage:
    subject = " ".join(render_to_string(f"{template}_subject.txt", context).split())
    sender = firm.name.replace('"', "")
    return EmailMessage(
        subject=subject,
        body=render_to_string(f"{template}.txt", context),
        from_email=f'"{sender}" <{settings.DEFAULT_FROM_EMAIL}>',
        to=[to],
        reply_to=[firm.email] if firm.email else None,
    )
