"""`manage.py demo`: the same as serve, in the demo's own store."""

from shop.management.commands import serve
from shop.store import access, phones


class Command(serve.Command):
    help = "Serve the demo: an invented shop with a batch planned, half-way and finished."

    def floor_path(self) -> str:
        """The address that adds the browser which opens it as a phone, once."""
        return f"/floor/#add={phones.new_code(access.only_shop().id)}"
