"""What `growth` runs beside a store of its own: fills it, asks what a day asks, tells the costs."""

import json
import time
from collections.abc import Callable

from django.contrib.auth import get_user_model
from django.test import Client

from shop.management.opening import open_store
from shop.models import Batch, Device, Event, Projection, Sheet, Shop
from shop.plan.canonical import canonical
from shop.record.fold import VERSION
from shop.store import access, phones, rebuild
from shop.store.shops import give_desk
from tests.bench.shop import event_lines
from tests.record.histories import SHEET

EVENTS_EACH, TIMES, AT_ONCE = 20, 40, 500


def measure(batches: int) -> dict[str, float]:
    """The costs in a shop with so many boils behind it."""
    open_store()
    fill(batches)
    return costs()


def fill(batches: int) -> None:
    """Closed boils from other years, as rows: their chains are not what is measured."""
    shop = Shop.objects.get()
    old = Device.objects.create(
        shop=shop, key="yesteryear", name="Old phone", added=0, token_sha256="0" * 64
    )
    state = canonical({**rebuild.state_of(Batch.objects.get(key="demo-finished").pk)})
    for first in range(0, batches, AT_ONCE):
        numbers = range(first, min(first + AT_ONCE, batches))
        _add(shop, old, state, numbers)
    shop.save(update_fields=["head"])


def _add(shop: Shop, old: Device, state: str, numbers: range) -> None:
    sheets = Sheet.objects.bulk_create(
        Sheet(shop=shop, hash=f"{n:064d}", text=canonical({**SHEET, "batch": f"old-{n}"}))
        for n in numbers
    )
    made = Batch.objects.bulk_create(
        Batch(
            shop=shop,
            key=f"old-{n}",
            lot=f"L{n}",
            letter="A",
            pattern="dot",
            title=f"Boil {n}",
            sheet=sheet,
            phase="closed",
            opened_position=1,
            position=shop.head,
        )
        for n, sheet in zip(numbers, sheets, strict=True)
    )
    events = []
    for batch in made:
        for _ in range(EVENTS_EACH):
            shop.head += 1
            events.append(
                Event(
                    shop=shop,
                    position=shop.head,
                    device=old,
                    seq=shop.head,
                    batch=batch,
                    line=f'{{"batch":"{batch.key}","body":{{}},"kind":"note_written"}}',
                    sha256="0" * 64,
                    received=0,
                    chain="0" * 64,
                )
            )
    Event.objects.bulk_create(events)
    Projection.objects.bulk_create(
        Projection(shop=shop, batch=b, position=b.position, fold_version=VERSION, state=state)
        for b in made
    )


def costs() -> dict[str, float]:
    """What a day asks over a fixed piece of work."""
    shop = access.only_shop()
    caller = phones.join(code=phones.new_code(shop.id), address="growth")
    lines = event_lines(caller.device, TIMES * 2 * 5)
    office = Client(SERVER_NAME="localhost")
    wire = Client(SERVER_NAME="localhost", headers={"authorization": f"Bearer {caller.token}"})
    user = get_user_model().objects.create_user("growth")
    give_desk(shop_id=shop.id, user_id=user.pk)
    office.force_login(user)

    def push(n: int) -> None:
        start = n * 5
        chain = {"device": caller.device, "from_seq": start + 1, "lines": lines[start : start + 5]}
        answer = wire.post("/sync/push", json.dumps({"chains": [chain]}), "application/json")
        assert answer.json()["answers"][0]["kept"], answer.content

    def get(client: Client, path: str, status: int = 200) -> Callable[[int], None]:
        def ask(_: int) -> None:
            answer = client.get(path)
            assert answer.status_code == status, (path, answer.status_code)

        return ask

    epoch = access.only_shop().epoch
    asked = {
        "push": push,
        "pull_all": get(wire, "/sync/pull?after=0"),
        "pull_new": get(wire, f"/sync/pull?after={access.only_shop().head - 5}&epoch={epoch}"),
        "today": get(office, "/office/"),
        "record": get(office, "/office/batch/demo-finished/"),
        "plan": get(office, "/office/plan/"),
    }
    return {name: _least(work) for name, work in asked.items()}


def _least(work: Callable[[int], None]) -> float:
    """The least time over the least of the fixed work beside it: what else the machine does only
    ever adds, and the two stores are measured one after the other."""
    own, fixed = [], []
    for n in range(TIMES * 2):
        fixed.append(_seconds(_fixed_work, n))
        own.append(_seconds(work, n))
    return round(min(own[TIMES:]) / min(fixed[TIMES:]), 4)


def _fixed_work(n: int) -> None:
    """Some milliseconds of the sort of work a page is: text to data and back."""
    text = json.dumps([{"n": n, "words": "beehive " * 4, "parts": [i, -i]} for i in range(400)])
    json.dumps(sorted(json.loads(text), key=lambda entry: entry["parts"][1]))


def _seconds(work: Callable[[int], None], n: int) -> float:
    start = time.process_time()
    work(n)
    return time.process_time() - start
