"""Signing in without leaving the page: what a phone's screen asks while work waits."""

from typing import Any

from django.contrib.auth import login, logout
from django.middleware.csrf import get_token
from django.utils.decorators import method_decorator
from django.views.decorators.csrf import csrf_protect
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.permissions import AllowAny, IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from firm.api.errors import ErrorOut
from firm.forms import SignInForm


class SignInIn(serializers.Serializer[Any]):
    email = serializers.CharField(max_length=254)
    password = serializers.CharField(max_length=1024, trim_whitespace=False)


class TokenOut(serializers.Serializer[Any]):
    """A fresh token for writing; never kept, as it changes when somebody signs in."""

    csrf = serializers.CharField()


@method_decorator(csrf_protect, name="post")
class SignInApi(APIView):
    """The same door as the sign-in page, with the same limit on wrong tries."""

    authentication_classes = ()
    permission_classes = (AllowAny,)

    @extend_schema(operation_id="sign_in_token", responses={200: TokenOut})
    def get(self, request: Request) -> Response:
        """Give the token that the form must bring."""
        return Response({"csrf": get_token(request._request)})

    @extend_schema(
        operation_id="sign_in",
        request=SignInIn,
        responses={200: TokenOut, 400: ErrorOut},
    )
    def post(self, request: Request) -> Response:
        """Sign in; a wrong pair is answered in words and costs one try."""
        given = SignInIn(data=request.data)
        given.is_valid(raise_exception=True)
        form = SignInForm(
            request._request,
            data={
                "username": given.validated_data["email"],
                "password": given.validated_data["password"],
            },
        )
        if not form.is_valid():
            words = [str(text) for found in form.errors.values() for text in found]
            raise serializers.ValidationError({"email": words})
        login(request._request, form.get_user())
        return Response({"csrf": get_token(request._request)})


class SignOutApi(APIView):
    """Ends the session; what lies on the phone stays on it."""

    permission_classes = (IsAuthenticated,)

    @extend_schema(
        operation_id="sign_out", request=None, responses={204: None, 401: ErrorOut}
    )
    def post(self, request: Request) -> Response:
        """Sign out."""
        logout(request._request)
        return Response(status=status.HTTP_204_NO_CONTENT)
