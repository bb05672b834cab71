"""Shapes of what the rules offer."""

from typing import Any

from rest_framework import serializers


class FactOut(serializers.Serializer[Any]):
    """A recorded fact that a proposal rests on."""

    record = serializers.CharField(allow_blank=True)
    field = serializers.CharField(allow_blank=True)
    label = serializers.CharField(allow_blank=True)  # type: ignore[assignment]  # DRF uses the name
    value = serializers.JSONField(allow_null=True)
    unit = serializers.CharField(allow_blank=True)
    how_known = serializers.CharField(allow_blank=True)


class NeedOut(serializers.Serializer[Any]):
    """A fact that a rule would need to decide."""

    record = serializers.CharField(allow_blank=True)
    field = serializers.CharField(allow_blank=True)
    label = serializers.CharField(allow_blank=True)  # type: ignore[assignment]  # DRF uses the name


class ProposalOut(serializers.Serializer[Any]):
    """What a rule offers, with all that led to it; for the firm only."""

    key = serializers.CharField()
    rule = serializers.CharField()
    rule_version = serializers.CharField()
    system = serializers.CharField()
    item = serializers.CharField(allow_blank=True)
    subject = serializers.CharField()
    subjects = serializers.ListField(child=serializers.CharField())
    covers = serializers.ListField(
        child=serializers.CharField(),
        help_text="Keys of all that is joined; setting it aside writes them down.",
    )
    stop = serializers.CharField(allow_blank=True)
    places = serializers.ListField(child=serializers.CharField())
    title = serializers.CharField()
    facts = FactOut(many=True)
    outcome = serializers.CharField()
    consequence = serializers.CharField(allow_blank=True)
    timing = serializers.CharField(allow_blank=True)
    trade = serializers.CharField(allow_blank=True)
    why = serializers.CharField(allow_blank=True)
    ruling = serializers.CharField(
        allow_blank=True, help_text="The firm's own level and why, where it set one."
    )
    margin = serializers.CharField(allow_blank=True)
    certainty = serializers.CharField(allow_blank=True)
    age_note = serializers.CharField(allow_blank=True)
    source = serializers.CharField(allow_blank=True)  # type: ignore[assignment]
    provenance = serializers.CharField(allow_blank=True)
    cautions = serializers.ListField(child=serializers.CharField())
    trace = serializers.ListField(child=serializers.CharField())
    needs = NeedOut(many=True)
    firm_only = serializers.BooleanField()
    hazard = serializers.BooleanField()
    decided = serializers.CharField(
        allow_blank=True, help_text="What the inspector chose; empty for nothing yet."
    )
    waits = serializers.BooleanField(help_text="Whether it needs an answer.")


class RulesOut(serializers.Serializer[Any]):
    """Every rule and table, as arrays, under one version."""

    schema = serializers.IntegerField()
    version = serializers.CharField()
    tables = serializers.DictField()
    rules = serializers.DictField()
    off = serializers.DictField(help_text="Rules that the firm switched off.")
