"""The base of every operation of a signed-in member."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any

from django.db import transaction
from rest_framework import exceptions
from rest_framework.permissions import IsAuthenticated
from rest_framework.request import Request
from rest_framework.views import APIView

from firm.access import firm_by_id, membership_of, memberships_of_user
from firm.actor import Actor
from firm.http import active_firm_id
from firm.tenancy import bound


class MemberApi(APIView):
    """An operation of a signed-in member, inside their firm's rows.

    `own_transactions` leaves binding to the operation, for those that commit more
    than once in one request.
    """

    permission_classes = (IsAuthenticated,)
    own_transactions = False
    actor: Actor

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if not request.user or not request.user.is_authenticated:
            return
        firm_id = active_firm_id(request._request)
        with bound(firm_id or "00000000-0000-0000-0000-000000000000"):
            if firm_id is None:
                mine = memberships_of_user(request.user)
                membership = mine[0] if mine else None
            else:
                firm = firm_by_id(firm_id)
                membership = membership_of(firm, request.user) if firm else None
            if membership is None:
                raise exceptions.PermissionDenied("You belong to no firm here.")
            self.actor = Actor.member(membership.firm, membership)
        if not self.own_transactions:
            self._bound.enter_context(bound(self.actor.firm.pk))
            self._inside = True

    def dispatch(self, request: Any, *args: Any, **kwargs: Any) -> Any:
        self._bound, self._inside = ExitStack(), False
        with self._bound:
            return super().dispatch(request, *args, **kwargs)

    def handle_exception(self, exc: Exception) -> Any:
        if self._inside:
            # An answer that says no must leave nothing half written.
            transaction.set_rollback(True)
        return super().handle_exception(exc)
