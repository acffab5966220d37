"""What `test_guessing` runs in processes of their own: many guesses at once, then one more."""

import threading
from collections import Counter

from django.core.management import call_command
from django.db import connection

from shop.store import phones, pins
from shop.store.access import access_shop, access_token
from shop.store.errors import MustWait, WrongPin
from shop.store.shapes import Caller
from tests.store.scene import give_pin, open_loft


def at_once(guesses: int) -> dict[str, object]:
    """So many guesses by one phone, each over a connection of its own: how each was answered."""
    call_command("migrate", verbosity=0)
    loft = open_loft()
    give_pin(loft.shop.id)
    said: list[str] = []
    together = threading.Barrier(guesses)

    def run() -> None:
        together.wait()
        said.append(answer(loft.kettle.caller, "8264"))
        connection.close()

    threads = [threading.Thread(target=run) for _ in range(guesses)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return {"said": Counter(said), "token": loft.kettle.token}


def answer(caller: Caller, pin: str) -> str:
    """How a PIN is answered, by the name of the error."""
    try:
        pins.check_pin(caller, person="tobit", pin=pin)
    except (WrongPin, MustWait) as refused:
        return type(refused).__name__
    return "right"


def once_more(token: str) -> dict[str, str]:
    """The right PIN from the phone that guessed, and from one that did not."""
    other = phones.join(code=phones.new_code(access_shop("loft").id), address="test")
    tokens = {"the phone that guessed": token, "another": other.token}
    return {who: answer(access_token(one), "7351") for who, one in tokens.items()}
