"""Signing in at the desk: Django's own, but nobody tries passwords by the thousand."""

from typing import Any, cast

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from shop.screens.office.reading import read_as_all
from shop.store.clock import now_ms
from shop.store.errors import TooManyTries
from shop.store.tries import Tries

wrong_passwords = Tries()


class SignIn(LoginView):
    """So many wrong ones a minute from one address, and so many from all together; then 429.

    The right one is refused as well meanwhile: nobody may learn by trying which it is.
    """

    template_name = "office/sign_in.html"

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        read_as_all()
        return super().dispatch(request, *args, **kwargs)

    def post(self, request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        try:
            wrong_passwords.check(_address(request), now_ms())
        except TooManyTries as known:
            form = self.get_form_class()(request)
            context = self.get_context_data(form=form, wait=str(known))
            return self.render_to_response(context, status=429)
        return super().post(request, *args, **kwargs)

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        wrong_passwords.count(_address(self.request), now_ms())
        return super().form_invalid(form)


def _address(request: HttpRequest) -> str:
    return cast(str, request.META.get("REMOTE_ADDR", ""))
