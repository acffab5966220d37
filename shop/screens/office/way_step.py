"""One step of our way: its words and what hangs on it, and how it looks on a phone."""

from csp.decorators import csp_replace
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_POST

from shop.plan.check_way import why_not_dropped
from shop.plan.errors import PlanError
from shop.plan.own_way import (
    OWN_STEP,
    Flat,
    all_ids,
    own_of,
    restored,
    said_by_program,
    stations_of,
    step_fields,
    step_of,
)
from shop.screens.office.access import at_desk
from shop.screens.office.desk import may_not
from shop.screens.office.way import draft_of
from shop.screens.office.way_form import StepForm
from shop.screens.office.way_sheet import example_sheet, problems_of_draft
from shop.sentences import reason
from shop.store import ways
from shop.store.shapes import ShopInfo


@at_desk
def way_step(request: HttpRequest, shop: ShopInfo, step: str) -> HttpResponse:
    """The form, beside the phone; POST keeps it among what is being worked on."""
    own, flat = draft_of(shop)
    if f"steps/{step}/say" not in flat:
        raise Http404(f"Our way has no step {step!r}.")
    form = StepForm(request.POST or None, flat, step)
    if request.method == "POST" and form.is_valid():
        if refused := may_not(request, shop, "change_way"):
            messages.error(request, refused)
            return redirect("office-way-step", step)
        flat |= {f"steps/{step}/{field}": value for field, value in form.values().items()}
        ways.keep_draft(shop_id=shop.id, own=own_of(flat, own))
        messages.success(request, gettext("Kept. It holds when our way is put in force."))
        return redirect("office-way-step", step)
    context = {
        "form": form,
        "step": step,
        "said": {
            field: said_by_program(f"steps/{step}/{field}") for field in ("say", "call", "caution")
        },
        "now": step_of(flat, step),
        "stays": why_not_dropped(step),
        "stands": step in all_ids(flat),
        "problems": problems_of_draft(flat),
        "shop_name": shop.name,
    }
    return render(request, "office/way_step.html", context)


@csp_replace({"frame-ancestors": ["'self'"]})
@xframe_options_sameorigin
@at_desk
def way_phone(request: HttpRequest, shop: ShopInfo, step: str) -> HttpResponse:
    """The floor's own screen at this step, with an example boil; only our own page may frame it."""
    _, flat = draft_of(shop)
    try:
        sheet = example_sheet(flat)
    except (PlanError, KeyError, IndexError, ValueError) as wrong:
        return render(request, "office/way_phone.html", {"wrong": reason(wrong)})
    own = next((one for one in sheet["steps"] if _shown(flat, one, step)), None)
    if own is None:
        raise Http404(f"No sheet has the step {step!r} now.")
    site = {key: str(shop.settings.get(key, value)) for key, value in sheet["shop"].items()}
    sheet = {**sheet, "shop": {**site, "name": shop.name}}
    return render(request, "office/way_phone.html", {"sheet": sheet, "step": own})


def _shown(flat: Flat, one: str, step: str) -> bool:
    """Whether a step of the sheet is this one of the way; `block.{id}` is any of its blocks."""
    start, brace, _ = step.partition("{")
    return one.startswith(start) and f"steps/{one}/say" not in flat if brace else one == step


MOVES = {"up": -1, "down": 1}


@at_desk
@require_POST
def way_act(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """A step goes up, down, out or back in, or a new one is added."""
    if refused := may_not(request, shop, "change_way"):
        messages.error(request, refused)
        return redirect("office-way")
    own, flat = draft_of(shop)
    act, step = request.POST.get("act", ""), request.POST.get("step", "")
    if act == "add":
        step = _add(flat, request.POST.get("station", ""))
    elif f"steps/{step}/station" in flat:
        _move(flat, flat[f"steps/{step}/station"], step, act)
    else:
        raise Http404(f"Our way has no step {step!r}.")
    ways.keep_draft(shop_id=shop.id, own=own_of(flat, own))
    return redirect("office-way-step", step) if act == "add" else redirect(_anchor(step))


def _anchor(step: str) -> str:
    return f"{reverse('office-way')}#{step}"


def _add(flat: Flat, station: str) -> str:
    if station not in stations_of(flat):
        raise Http404(f"There is no station {station!r}.")
    taken = {path.split("/")[1] for path in flat if path.startswith(f"steps/{OWN_STEP}")}
    ident = next(
        f"{OWN_STEP}{n}" for n in range(1, len(taken) + 2) if f"{OWN_STEP}{n}" not in taken
    )
    heading = flat[f"steps/{flat[f'order/{station}'][-1]}/heading"]
    row = {"station": station, "heading": heading, "say": "A step of our own", "call": "Own step"}
    flat |= step_fields(ident, row)
    flat[f"order/{station}"] = [*flat[f"order/{station}"], ident]
    return ident


def _move(flat: Flat, station: str, step: str, act: str) -> None:
    order = list(flat[f"order/{station}"])
    if act == "restore" and step not in order:
        order = restored(flat, step)
    elif act == "drop" and step in order:
        order.remove(step)
    elif act in MOVES and step in order:
        place = order.index(step)
        to = min(max(place + MOVES[act], 0), len(order) - 1)
        order.insert(to, order.pop(place))
    flat[f"order/{station}"] = order
