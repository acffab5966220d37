"""What the tests of the wall ask of its page, and what they write elsewhere meanwhile."""

DONE = """
from shop.store.access import only_shop, access_batch
from shop.store.append import office_event
from shop.store.read import batch_sheet
shop = only_shop()
steps = batch_sheet(access_batch(shop.id, "demo-planned"))["steps"]
for step in {!r}:
    office_event(shop_id=shop.id, batch="demo-planned", kind="step_done", body={{}}, by="tobit",
                 step=step, station=steps[step]["station"])
answer = 0
"""

PLACE = """
from shop.models import Device
from shop.store import access, phones
shop = access.only_shop()
device = Device.objects.filter(shop_id=shop.id, is_server=False).order_by("-pk").first()
phones.rename(shop_id=shop.id, device=device.key, name="Tablet", station={!r})
answer = device.key
"""

LINES = """() => [...document.querySelectorAll('.wall-item')].filter((item) => item.offsetHeight)
.map((e) => {
  const text = (s) => { const n = e.querySelector(s); return n && !n.hidden ? n.textContent : ''; };
  const colour = [...e.querySelectorAll('.wall-swatch > circle:first-child')];
  return {
    batch: e.dataset.batch, station: e.dataset.station, call: text('.wall-call'),
    number: text('.wall-number'), unit: text('.wall-unit'), says: text('.wall-says'),
    waits: text('.wall-waits'), band: text('.band'), who: text('.wall-who'),
    where: text('.wall-place'), piece: text('.wall-piece'),
    colours: colour.map((c) => c.getAttribute('fill')),
    letters: [...e.querySelectorAll('.wall-swatch text')].map((n) => n.textContent),
    hot: e.classList.contains('hot-sugar'), mark: e.querySelector('.badge text').textContent,
  };
})"""

OWN = """() => {
  const text = (s) => {
    const n = document.querySelector(s);
    return n && !n.closest('[hidden]') && n.offsetHeight ? n.textContent : '';
  };
  const hot = [...document.querySelectorAll('.hot .call')].map((n) => n.textContent).join(' ');
  return {
    call: hot || text('.board .call'), number: hot ? text('.hot-mark') : text('.board .number'),
    unit: hot ? '' : text('.board .unit'), waits: hot ? '' : text('.board .waits'),
    band: text(hot ? '.hot .band' : '.board .band'), clock: text('.board .clock'),
    sticks: text('.board .sticks'), rests: document.querySelector('.at-rest') !== null,
  };
}"""

MEASURE = """() => {
  const seen = (e) => e.offsetHeight && e.textContent;
  const px = (s) => [...document.querySelectorAll(s)].filter(seen)
    .map((e) => parseFloat(getComputedStyle(e).fontSize));
  const cut = [];
  for (const item of document.querySelectorAll('.wall-item')) {
    const box = item.getBoundingClientRect();
    for (const e of item.querySelectorAll('p, h3, svg')) {
      const r = e.getBoundingClientRect();
      if (!r.height || (e.tagName !== 'svg' && !seen(e))) continue;
      if (r.left < box.left - 1 || r.right > box.right + 1 || r.bottom > box.bottom + 6
        || r.top < box.top - 6) cut.push(`${item.dataset.station} ${e.className} ${e.textContent}`);
    }
  }
  const first = document.querySelector('.wall-first').getBoundingClientRect();
  return {
    call: px('.wall-first .wall-call'), number: px('.wall-first .wall-number'),
    calls: px('.wall-row .wall-call'), numbers: px('.wall-row .wall-number'),
    who: px('.wall-row .wall-who'), keys: [...document.querySelectorAll('.wall button')]
      .filter(seen).map((e) => Math.round(e.getBoundingClientRect().height)),
    wide: document.documentElement.scrollWidth - innerWidth, cut,
    first: first.top >= 0 && first.bottom <= innerHeight,
  };
}"""

SAID = """
from shop.store.access import only_shop
from shop.store.append import office_event
event = office_event(shop_id=only_shop().id, batch="demo-planned", kind={!r}, body={!r},
                     by="tobit")
answer = f"{{event['device']}}:{{event['seq']}}"
"""

READS = """
from shop.models import Shop
from shop.store import access, shops
shop = access.only_shop()
settings = {**Shop.objects.get(pk=shop.id).settings, "language": "de"}
shops.set_settings(shop_id=shop.id, name=shop.name, settings=settings)
answer = 0
"""
