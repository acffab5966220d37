"""Proofs: what a customer is shown by a signed link, without an account, and says yes to.

The link is the proof's id, signed with the program's key, and holds for so many days from when the
proof was made; whoever has it sees that one picture. Of the customer the typed name and the moment
are kept, nothing else; the name until the customer is erased.
"""

import json
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django import forms
from django.conf import settings
from django.contrib import messages
from django.core import signing
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import get_script_prefix, reverse, set_script_prefix
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from shop.screens.office.access import at_desk
from shop.screens.office.picture_answers import FACES, named_svg
from shop.screens.office.picture_asks import opened, ready
from shop.screens.office.wording import moment
from shop.sentences import reason
from shop.store import drawings
from shop.store.access import access_proof
from shop.store.clock import now_ms
from shop.store.errors import AlreadyApproved, NotHere, ProofStale
from shop.store.shapes import ProofInfo, ShopInfo

SIGNER = signing.Signer(salt="kettleside.proof")
DAY_MS = 86_400_000
GONE = 410
SHOWN = ("planned", "mirror", "usual")


@dataclass(frozen=True, slots=True)
class ProofLine:
    """A proof as the office sees it."""

    version: int
    made: str
    state: str
    link: str


def token_of(proof: ProofInfo) -> str:
    """What stands in the proof's address."""
    return SIGNER.sign_object(proof.key)


def link_of(proof: ProofInfo) -> str:
    """The path of a proof: it is under no shop's name."""
    before = get_script_prefix()
    set_script_prefix("/")
    try:
        return reverse("proof", args=[token_of(proof)])
    finally:
        set_script_prefix(before)


def proof_lines(shop: ShopInfo, key: str, zone: ZoneInfo) -> list[ProofLine]:
    """The proofs of a picture, newest first."""
    return [
        ProofLine(proof.number, moment(proof.at, zone), _state(proof, zone), link_of(proof))
        for proof in drawings.proofs(shop.id, key)
    ]


def _state(proof: ProofInfo, zone: ZoneInfo) -> str:
    if proof.approved_at is not None:
        changed = gettext("; the picture has changed since and needs a new proof")
        return _yes(proof, zone) + ("" if proof.stands else changed)
    if now_ms() >= proof.at + proof.days * DAY_MS:
        return gettext("the link has run out without an answer")
    if proof.stands:
        return gettext("no answer yet")
    return gettext("changed since: no answer is taken any more")


def _yes(proof: ProofInfo, zone: ZoneInfo) -> str:
    when = moment(proof.approved_at, zone)
    if proof.approved_by:
        return gettext("approved by {who}, {when}").format(who=proof.approved_by, when=when)
    return gettext("approved {when}; the name is erased").format(when=when)


@at_desk
@require_POST
def make_proof(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Freeze the face of the version that stands, and say the link."""
    one = opened(shop, key)
    seen = ready(one.seen())
    if seen.what is None:
        messages.error(request, seen.wrong or "The face is still worked out. Press again soon.")
        return redirect("office-picture", key)
    face = json.dumps({name: seen.what.faces[name] for name in SHOWN})
    drawings.new_proof(
        shop_id=shop.id,
        key=key,
        number=one.info.current,
        rod_um=one.how.rod_um,
        face=face,
        days=one.how.numbers["proof_days"],
        by=request.user.get_username(),
    )
    messages.success(
        request, gettext("The proof is frozen. Its link stands under 'For the customer'.")
    )
    return redirect("office-picture", key)


class ApproveForm(forms.Form):
    """A yes."""

    seen = forms.BooleanField(
        label=gettext_lazy("I have seen it at its true size, enlarged, and mirrored.")
    )
    varies = forms.BooleanField(
        label="Every piece is made by hand: the picture wanders a little, one of the two faces is "
        "mirrored, and sizes and weights differ."
    )
    name = forms.CharField(max_length=80, label=gettext_lazy("Your name"))


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def proof(request: HttpRequest, token: str) -> HttpResponse:
    """The customer's page: three views of one picture, and a yes that is kept once."""
    found = _proof_of(token)
    if found is None:
        return render(request, "office/proof_gone.html", status=GONE)
    form = ApproveForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            found = drawings.approve(proof=found.key, name=form.cleaned_data["name"])
            return redirect("proof", token)
        except (ProofStale, AlreadyApproved) as wrong:
            form.add_error(None, reason(wrong))
            found = access_proof(found.key)
    return render(request, "office/proof.html", _context(found, form))


def _proof_of(token: str) -> ProofInfo | None:
    """The proof of a link that still holds; None for one that has run out.

    Raises Http404 for one that was never made here.
    """
    try:
        found = access_proof(SIGNER.unsign_object(token))
    except (signing.BadSignature, NotHere, ValueError, TypeError) as bad:
        raise Http404("There is no such proof.") from bad
    return found if now_ms() < found.at + found.days * DAY_MS else None


def _context(found: ProofInfo, form: ApproveForm) -> dict[str, object]:
    frozen: dict[str, str] = json.loads(found.face)
    faces = {name: named_svg(svg, FACES[name]) for name, svg in frozen.items()}
    when = moment(found.approved_at, ZoneInfo(found.time_zone or settings.TIME_ZONE))
    rod = f"{found.rod_um / 1000:g}"
    return {"proof": found, "faces": faces, "form": form, "rod": rod, "approved": when}
