"""Who is signed in here: asked at the start of each sync."""

from typing import Any

from django.middleware.csrf import get_token
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from firm.api.member import MemberApi
from firm.selectors.installation import incarnation


class SessionOut(serializers.Serializer[Any]):
    """The signed-in member, the firm, and a fresh token for writing."""

    user = serializers.UUIDField()
    member = serializers.UUIDField()
    name = serializers.CharField()
    firm = serializers.UUIDField()
    firm_name = serializers.CharField()
    firm_slug = serializers.CharField()
    roles = serializers.ListField(child=serializers.CharField())
    csrf = serializers.CharField()
    incarnation = serializers.UUIDField()


class SessionApi(MemberApi):
    @extend_schema(responses=SessionOut, operation_id="session_read")
    def get(self, request: Request) -> Response:
        actor = self.actor
        return Response(
            SessionOut(
                {
                    "user": request.user.pk,
                    "member": actor.member_id,
                    "name": actor.name,
                    "firm": actor.firm.pk,
                    "firm_name": actor.firm.name,
                    "firm_slug": actor.firm.slug,
                    "roles": actor.membership.roles if actor.membership else [],
                    "csrf": get_token(request._request),
                    "incarnation": incarnation(),
                }
            ).data
        )
