"""Sending mail: subject and text from two templates, on commit."""

from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.template.loader import render_to_string

from firm.models import Firm


def send(*, firm: Firm, to: str, template: str, context: dict[str, Any]) -> None:
    """Send `<template>_subject.txt` and `<template>.txt` when this commits."""
    subject = " ".join(render_to_string(f"{template}_subject.txt", context).split())
    sender = firm.name.replace('"', "")
    message = EmailMessage(
        subject=subject,
        body=render_to_string(f"{template}.txt", context),
        from_email=f'"{sender}" <{settings.DEFAULT_FROM_EMAIL}>',
        to=[to],
        reply_to=[firm.email] if firm.email else None,
    )
    transaction.on_commit(lambda: message.send(fail_silently=False), robust=True)
