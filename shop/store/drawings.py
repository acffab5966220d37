"""Pictures: drawn, changed version by version, taken back, proved to customers.

A version is never changed. Undoing lets an earlier one stand; what was undone stays in the table.
"""

import secrets
from typing import Any

from django.db import transaction

from shop.models import ApprovalName, Drawing, DrawingVersion, Proof, ProofApproval
from shop.sentences import Sentence
from shop.store.access import access_drawing, access_proof, one_row, version_info
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import AlreadyApproved, NotHere, OutOfRange, ProofStale
from shop.store.order_picture import picture_approved, picture_moved
from shop.store.shapes import DrawingInfo, DrawnVersion, NewVersion, ProofInfo

MOST_NAME = 80


def drawings(shop_id: int, *, most: int | None = None) -> list[DrawingInfo]:
    """The shop's pictures, the newest first, at most so many; without what they look like."""
    rows = Drawing.objects.filter(shop_id=shop_id).order_by("-pk")[:most]
    return [DrawingInfo(r.key, r.title, r.current, dict(r.order), r.by, r.at) for r in rows]


def history(shop_id: int, key: str) -> list[DrawnVersion]:
    """Every version of a picture, newest first, without its pixels."""
    rows = DrawingVersion.objects.filter(shop_id=shop_id, drawing__key=key).defer("labels")
    return [
        DrawnVersion(r.number, r.was, r.by, r.at, r.what, r.source)
        for r in rows.order_by("-number")
    ]


def new_drawing(
    *, shop_id: int, title: str, order: dict[str, Any], first: NewVersion, by: str = ""
) -> DrawingInfo:
    """A picture with its first version. Raises OutOfRange for a title that is none."""
    _check_title(title)
    with transaction.atomic():
        row = Drawing(shop_id=shop_id, key=secrets.token_hex(8), title=title, order=order)
        row.by, row.at = by, now_ms()
        row.save()
        _write(row, 1, 0, first, by)
        _note(row, by, {}, {"drawn": first.what})
    return access_drawing(shop_id, row.key)


def add_version(
    *, shop_id: int, key: str, on: int, version: NewVersion, by: str = ""
) -> DrawingInfo:
    """A version made from number `on`, which now stands. Locks the picture. Raises NotHere."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        one_row(DrawingVersion.objects.filter(drawing=row, number=on), "version", str(on))
        number = 1 + DrawingVersion.objects.filter(drawing=row).count()
        _write(row, number, on, version, by)
        _stand(row, number, by, version.what)
    return access_drawing(shop_id, key)


def take_back(*, shop_id: int, key: str, by: str = "") -> DrawingInfo:
    """Let the version stand that the current one was made from. Raises NotHere for the first."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        now = DrawingVersion.objects.defer("labels").get(drawing=row, number=row.current)
        if not now.was:
            raise NotHere("version before", str(row.current))
        _stand(row, now.was, by, f"taken back: {now.what}")
    return access_drawing(shop_id, key)


def set_order(
    *, shop_id: int, key: str, title: str, order: dict[str, Any], by: str = ""
) -> DrawingInfo:
    """What the picture is called and worked out for: log, rod, bags, hands.

    Locks the picture. Raises NotHere, OutOfRange.
    """
    _check_title(title)
    with transaction.atomic():
        row = _locked(shop_id, key)
        before = {"title": row.title, **row.order}
        row.title, row.order = title, order
        row.save(update_fields=["title", "order"])
        _note(row, by, before, {"title": title, **order})
        picture_moved(row, by)
    return access_drawing(shop_id, key)


def new_proof(
    *, shop_id: int, key: str, number: int, rod_um: int, face: str, days: int, by: str = ""
) -> ProofInfo:
    """Freeze what a customer is shown of a version. Raises NotHere."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        one_row(DrawingVersion.objects.filter(drawing=row, number=number), "version", str(number))
        proof = Proof(shop_id=shop_id, key=secrets.token_hex(12), drawing=row, number=number)
        proof.title, proof.rod_um, proof.face, proof.days = row.title, rod_um, face, days
        proof.by, proof.at = by, now_ms()
        proof.save()
        _note(row, by, {}, {"proof": f"version {number}, {days} days"})
    return access_proof(proof.key)


def proofs(shop_id: int, key: str) -> list[ProofInfo]:
    """The proofs of a picture, newest first."""
    rows = Proof.objects.filter(shop_id=shop_id, drawing__key=key).order_by("-pk")
    return [access_proof(proof_key) for proof_key in rows.values_list("key", flat=True)[:8]]


def approve(*, proof: str, name: str) -> ProofInfo:
    """A customer's yes to a proof that still stands; kept once, the name where it can be erased.

    Locks the picture. Raises NotHere, OutOfRange, ProofStale, AlreadyApproved; then nothing is
    kept.
    """
    plain = " ".join(name.split())
    if not 1 <= len(plain) <= MOST_NAME or "\0" in plain:
        raise OutOfRange("The length of the name", len(plain), 1, MOST_NAME)
    with transaction.atomic():
        found = access_proof(proof)
        row = _locked(found.shop_id, found.drawing)
        if ProofApproval.objects.filter(proof__key=proof).exists():
            raise AlreadyApproved(found.title)
        if not access_proof(proof).stands:
            raise ProofStale(found.title)
        own = Proof.objects.only("pk").get(key=proof)
        yes = ProofApproval.objects.create(shop_id=found.shop_id, proof=own, at=now_ms())
        ApprovalName.objects.create(shop_id=found.shop_id, approval=yes, name=plain)
        _note(row, "", {}, {"approved": f"version {found.number}"})
        picture_approved(row, found.number)
    return access_proof(proof)


def current_version(shop_id: int, key: str) -> DrawnVersion:
    """The version that stands, with its pixels. Raises NotHere."""
    found = access_drawing(shop_id, key)
    return version(shop_id, key, found.current)


def version(shop_id: int, key: str, number: int) -> DrawnVersion:
    """One version, with its pixels. Raises NotHere."""
    rows = DrawingVersion.objects.filter(shop_id=shop_id, drawing__key=key, number=number)
    return version_info(one_row(rows, "version of the picture", key))


def _locked(shop_id: int, key: str) -> Drawing:
    rows = Drawing.objects.select_for_update(no_key=True).filter(shop_id=shop_id, key=key)
    found: Drawing = one_row(rows, "picture", key)
    return found


def _write(row: Drawing, number: int, was: int, version: NewVersion, by: str) -> None:
    DrawingVersion.objects.create(
        shop_id=row.shop_id,
        drawing=row,
        number=number,
        was=was,
        by=by,
        at=now_ms(),
        what=version.what[:200],
        source=version.source,
        labels=version.labels,
        choices=version.choices,
    )


def _stand(row: Drawing, number: int, by: str, what: str) -> None:
    before, row.current = row.current, number
    row.save(update_fields=["current"])
    _note(row, by, {what[:60]: f"version {before}"}, {what[:60]: f"version {number}"})
    picture_moved(row, by)


def _note(row: Drawing, by: str, before: dict[str, Any], after: dict[str, Any]) -> None:
    about = f"picture {row.title}"
    note(shop_id=row.shop_id, by=by, about=about, before=before, after=after)


def _check_title(title: str) -> None:
    if not 1 <= len(title.strip()) <= MOST_NAME or "\0" in title:
        raise OutOfRange(Sentence("The length of the title"), len(title.strip()), 1, MOST_NAME)
