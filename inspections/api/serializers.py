"""Shapes of what phones send and get."""

from typing import Any

from rest_framework import serializers


class MutationIn(serializers.Serializer[Any]):
    """One field of one record; what is wrong with it is answered beside its id."""

    seq = serializers.IntegerField(min_value=1, help_text="The device's own counting.")
    id = serializers.UUIDField()
    rec = serializers.UUIDField()
    field = serializers.CharField(max_length=60)
    value = serializers.JSONField(allow_null=True)
    seen = serializers.ListField(
        child=serializers.UUIDField(), help_text="The heads that were on the screen."
    )
    schema = serializers.IntegerField(default=1)
    at = serializers.CharField(max_length=40, help_text="The device's clock.")


class PushIn(serializers.Serializer[Any]):
    """A batch of at most 100 mutations and 256 KiB."""

    req = serializers.CharField(max_length=64)
    device = serializers.UUIDField()
    client = serializers.CharField(max_length=40, allow_blank=True, default="")
    now = serializers.CharField(max_length=40, allow_null=True, default=None)
    mutations = MutationIn(many=True)


class PushEnvelopeIn(PushIn):
    """The batch with its mutations unread: each is judged by itself."""

    mutations = serializers.ListField(child=serializers.JSONField())  # type: ignore[assignment]


class PushResultOut(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    s = serializers.ChoiceField(
        choices=["ok", "dup", "quarantined", "reused", "gap", "fork"]
    )
    v = serializers.IntegerField(allow_null=True)
    why = serializers.CharField(allow_null=True)
    expected = serializers.IntegerField(allow_null=True)


class PushOut(serializers.Serializer[Any]):
    """What became of each mutation, up to the one that stopped the batch."""

    sync = serializers.IntegerField()
    req = serializers.CharField()
    incarnation = serializers.UUIDField()
    now = serializers.DateTimeField()
    results = PushResultOut(many=True)
    version = serializers.IntegerField()


class ChangeOut(serializers.Serializer[Any]):
    """One entry of the log; `release` names an entry that this one lets in."""

    v = serializers.IntegerField()
    id = serializers.UUIDField()
    by = serializers.UUIDField()
    by_name = serializers.CharField()
    dev = serializers.UUIDField(allow_null=True)
    rec = serializers.UUIDField(allow_null=True)
    field = serializers.CharField()
    value = serializers.JSONField(allow_null=True)
    seen = serializers.ListField(child=serializers.UUIDField())
    schema = serializers.IntegerField()
    at = serializers.CharField()
    got = serializers.CharField()
    status = serializers.ChoiceField(choices=["ok", "quarantined"])
    why = serializers.CharField(allow_null=True)
    late = serializers.BooleanField()
    raw = serializers.CharField(allow_null=True)
    release = serializers.UUIDField(allow_null=True)


class ChangesOut(serializers.Serializer[Any]):
    sync = serializers.IntegerField()
    incarnation = serializers.UUIDField()
    changes = ChangeOut(many=True)
    more = serializers.BooleanField()
    version = serializers.IntegerField()


class PhotoStateOut(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    sha256 = serializers.CharField(allow_null=True)
    size = serializers.IntegerField(allow_null=True)
    stored = serializers.BooleanField()
    of = serializers.UUIDField(
        allow_null=True, help_text="The photo whose original this is."
    )


class ManifestOut(serializers.Serializer[Any]):
    """`digest`: SHA-256 over the ids in version order, each with a line feed."""

    sync = serializers.IntegerField()
    incarnation = serializers.UUIDField()
    version = serializers.IntegerField()
    count = serializers.IntegerField()
    digest = serializers.CharField()
    photos = PhotoStateOut(many=True)


class ProofIn(serializers.Serializer[Any]):
    """What a device worked out over what it holds, as a manifest's digest is."""

    device = serializers.UUIDField()
    client = serializers.CharField(max_length=40, allow_blank=True, default="")
    count = serializers.IntegerField(min_value=0)
    digest = serializers.RegexField("^[0-9a-f]{64}$")


class ProofOut(serializers.Serializer[Any]):
    """What was kept of it, the first time it was told."""

    sync = serializers.IntegerField()
    at = serializers.DateTimeField()
    version = serializers.IntegerField()
    count = serializers.IntegerField()
    photos = serializers.IntegerField()
    digest = serializers.CharField()


class PersonOut(serializers.Serializer[Any]):
    part = serializers.CharField()
    name = serializers.CharField()
    phone = serializers.CharField()
    email = serializers.CharField()


class PropertyOut(serializers.Serializer[Any]):
    street = serializers.CharField()
    city = serializers.CharField()
    state = serializers.CharField()
    postcode = serializers.CharField()
    time_zone = serializers.CharField()
    kind = serializers.CharField()
    floor_area_ft2 = serializers.IntegerField(allow_null=True)
    built_from = serializers.IntegerField(allow_null=True)
    built_to = serializers.IntegerField(allow_null=True)
    built_source = serializers.CharField()


class VisitOut(serializers.Serializer[Any]):
    """A visit of the member's, as a list shows it."""

    id = serializers.UUIDField()
    number = serializers.CharField()
    status = serializers.CharField()
    purpose = serializers.CharField()
    pack = serializers.CharField()
    starts_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField()
    agreed_wall_time = serializers.CharField()
    version = serializers.IntegerField()
    inspector = serializers.UUIDField()
    inspector_name = serializers.CharField()
    records = serializers.BooleanField(help_text="Whether this member records on it.")
    property = PropertyOut()


class StopOut(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    name = serializers.CharField(allow_null=True)
    stop_kind = serializers.CharField(allow_null=True)
    pos = serializers.CharField(allow_null=True)


class VisitDetailOut(VisitOut):
    """A visit with what its inspector needs at the door."""

    scope = serializers.ListField(child=serializers.CharField())
    access_note = serializers.CharField()
    property_note = serializers.CharField()
    people = PersonOut(many=True)
    agreement_signed = serializers.BooleanField(allow_null=True)
    stops = StopOut(many=True)
