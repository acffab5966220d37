"""Bringing the shops of another store in: every row, under new row numbers of this database.

A shop stays what it was: its epoch, its log with every link, its phones and their tokens. So its
phones go on as if nothing had happened.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group, Permission
from django.contrib.contenttypes.models import ContentType
from django.contrib.sessions.models import Session
from django.db import DataError, IntegrityError, connection, transaction
from django.db.models import Field, Model

from shop.models import (
    ApprovalName,
    Aside,
    Batch,
    BoilFacts,
    Change,
    Customer,
    Delivery,
    Desk,
    Device,
    Drawing,
    DrawingVersion,
    Event,
    IncidentNote,
    JoinCode,
    KeptFile,
    KitCheck,
    LabelPrint,
    LotMove,
    LotUse,
    Material,
    MaterialLot,
    NumberChange,
    Order,
    OrderBoil,
    OrderEntry,
    Person,
    Projection,
    Proof,
    ProofApproval,
    Recall,
    RecallTold,
    Scrap,
    ScrapMove,
    Sheet,
    Shop,
    ShopNumber,
    SkillNote,
    WayVersion,
    WrongPins,
)
from shop.store.bring_files import bringing_files
from shop.store.errors import CameBefore, NotBrought, SlugTaken
from shop.store.shapes import Brought
from shop.store.verify import broken_links

AT_ONCE = 500
SLUG = re.compile(r"[-a-z0-9]{1,40}")
User = get_user_model()

# In this order: what a row points to is there before it.
MOVED: tuple[type[Model], ...] = (
    *(User, Shop, Person, Desk, Device, KitCheck, WrongPins, SkillNote, IncidentNote),
    *(Sheet, Batch, Event, Aside, KeptFile, Projection, ShopNumber, NumberChange, Change),
    *(Drawing, DrawingVersion, Proof, ProofApproval, ApprovalName, WayVersion),
    *(Customer, Order, OrderEntry, OrderBoil, Delivery, LabelPrint),
    *(Material, MaterialLot, LotMove, Scrap, ScrapMove, Recall, RecallTold),
)
LEFT_BEHIND: dict[type[Model], str] = {
    JoinCode: "a code holds a quarter of an hour",
    BoilFacts: "read again from sheets and entries by whoever asks first",
    LotUse: "read again with what boils are found by",
    Session: "everybody signs in anew: the key they are signed with is another",
    Group: "none is used",
    Permission: "made by each database itself",
    ContentType: "made by each database itself",
}


def bring_in(*, source: str, files: Path, slugs: list[str]) -> list[Brought]:
    """Bring every shop of the database that is open as `source` into this one, all or nothing.

    `files` holds its photos and sounds; `slugs` the short names asked for (see `renamed`). One
    transaction; what was brought is verified before it is committed. Raises NotBrought.
    """
    if connection.vendor != "postgresql":
        raise NotBrought("Shops are brought into PostgreSQL: set DATABASE_URL (docs/settings.md).")
    names = renamed(_rows(Shop, source).values_list("slug", flat=True), slugs)
    try:
        with transaction.atomic(), bringing_files(files, _hashes(source)):
            _check_new(source)
            mover = _Mover(source, names)
            for model in MOVED:
                mover.bring(model)
            mover.link_replaced()
            mover.check()
            return mover.brought()
    except (DataError, IntegrityError, ValueError) as error:
        raise NotBrought(f"PostgreSQL refused a row: {' '.join(str(error).split())}") from error


def renamed(here: Iterable[str], asked: list[str]) -> dict[str, str]:
    """Short name there → short name here. `asked` is OLD=NEW for each, or NEW for the only shop.

    Raises NotBrought, SlugTaken.
    """
    names = {slug: slug for slug in here}
    if not names:
        raise NotBrought("There is no shop in that store.")
    for wish in asked:
        old, is_pair, new = wish.rpartition("=")
        old = old if is_pair else next(iter(names))
        if old not in names or (not is_pair and len(names) > 1):
            raise NotBrought(f"{wish!r} names none of {', '.join(names)}; write --slug OLD=NEW.")
        if not SLUG.fullmatch(new):
            raise NotBrought(f"The short name is {new[:60]!r}; it must be 1 to 40 of a-z, 0-9, -.")
        names[old] = new
    new_names = list(names.values())
    taken = set(Shop.objects.filter(slug__in=new_names).values_list("slug", flat=True))
    for old, new in names.items():
        if new in taken or new_names.count(new) > 1:
            raise SlugTaken(new, f"{old}=NEW" if len(names) > 1 else "NEW")
    return names


def _rows(model: type[Model], source: str) -> Any:
    return model._default_manager.using(source).order_by("pk")


def _hashes(source: str) -> Iterator[str]:
    return iter(_rows(KeptFile, source).values_list("sha256", flat=True).distinct())


def _check_new(source: str) -> None:
    """A shop's token opens one shop: the same phones are not brought twice. Raises CameBefore."""
    tokens = _rows(Device, source).values_list("token_sha256", flat=True)
    for some in _chunks(tokens.iterator(AT_ONCE)):
        there = Device.objects.filter(token_sha256__in=some).select_related("shop").first()
        if there is not None:
            raise CameBefore(there.name, there.shop.slug)


def _chunks(rows: Iterable[Any]) -> Iterator[list[Any]]:
    left = iter(rows)
    while some := list(islice(left, AT_ONCE)):
        yield some


class _Mover:
    """One move: which row became which, and what could not stay as it was."""

    def __init__(self, source: str, names: dict[str, str]) -> None:
        self.source = source
        self.names = names
        pointed = {field.related_model for model in MOVED for field in _keys(model)}
        # Old row number → new one; only of tables that others point to.
        self.ids: dict[Any, dict[int, int]] = {model: {} for model in pointed}
        # Who runs a company of several shops says so there: a newcomer does not bring it along.
        self.is_first = not User._default_manager.exists()
        self.users: dict[str, str] = {}
        self.replaced: dict[int, int] = {}

    def bring(self, model: type[Model]) -> None:
        """Every row of one table, some hundred at a time."""
        for old in _chunks(_rows(model, self.source).iterator(AT_ONCE)):
            new = [self._adapted(model, row) for row in old]
            made = model._default_manager.bulk_create(new)
            if model in self.ids:
                self.ids[model] |= {was.pk: now.pk for was, now in zip(old, made, strict=True)}

    def _adapted(self, model: type[Model], row: Any) -> Any:
        values = {f.attname: getattr(row, f.attname) for f in _columns(model)}
        for field in _keys(model):
            old = values[field.attname]
            if field.related_model is Device and model is Device:
                self.replaced |= {row.pk: old} if old else {}
                values[field.attname] = None
            elif old is not None:
                values[field.attname] = self.ids[field.related_model][old]
        if model is Shop:
            self._name_shop(values)
        if model is User:
            self._name_user(values, row.pk)
        return model(**values)

    def _name_shop(self, values: dict[str, Any]) -> None:
        values["slug"] = self.names[values["slug"]]
        followed = values["settings"].get("follows", "")
        if followed:
            values["settings"] |= {"follows": self.names.get(followed, "")}

    def _name_user(self, values: dict[str, Any], pk: int) -> None:
        """A name that is taken here gets the shop's behind it."""
        desk = _rows(Desk, self.source).filter(user_id=pk).select_related("shop").first()
        slug = self.names[desk.shop.slug] if desk else next(iter(self.names.values()))
        name, users = values[User.USERNAME_FIELD], User._default_manager
        new, n = name, 1
        while users.filter(**{User.USERNAME_FIELD: new}).exists():
            new, n = f"{name}-{slug}" + (f"-{n}" if n > 1 else ""), n + 1
        values[User.USERNAME_FIELD] = new
        self.users |= {name: new} if new != name else {}
        if not self.is_first:
            values["is_staff"] = values["is_superuser"] = False

    def link_replaced(self) -> None:
        """Which phone took whose place: said last, for either may be the older row."""
        ids = self.ids[Device]
        for old, replaced in self.replaced.items():
            Device.objects.filter(pk=ids[old]).update(replaces_id=ids[replaced])

    def check(self) -> None:
        """What is here now is what is there, and whole. Raises NotBrought; nothing is kept then."""
        shops = list(self.ids[Shop].values())
        for model in MOVED:
            there = _rows(model, self.source).count()
            # A fresh count here: the rows of other shops stand beside them.
            here = _of(model, shops, self.ids).count()
            if here != there:
                raise NotBrought(f"{model._meta.verbose_name}: {there} rows there, {here} here.")
        for old, new in self.ids[Shop].items():
            there, here = _heads(self.source, old), _heads("default", new)
            if there != here:
                raise NotBrought(f"The heads there are {there}, here {here}.")
        for broken in broken_links(shops):
            raise NotBrought(f"What came is not whole: {broken.where}: {broken.say}.")

    def brought(self) -> list[Brought]:
        """Each shop, as it now stands here."""
        made = Shop.objects.filter(pk__in=self.ids[Shop].values()).order_by("pk")
        phones = {s.pk: Device.objects.filter(shop=s, is_server=False).count() for s in made}
        return [Brought(s.slug, s.head, s.head_hash, phones[s.pk], dict(self.users)) for s in made]


def _columns(model: type[Model]) -> list[Field[Any, Any]]:
    return [field for field in model._meta.concrete_fields if not field.primary_key]


def _keys(model: type[Model]) -> list[Any]:
    return [field for field in _columns(model) if field.is_relation]


def _of(model: type[Model], shops: list[int], ids: dict[Any, dict[int, int]]) -> Any:
    rows = model._default_manager.all()
    if model in (Shop, User):
        return rows.filter(pk__in=ids[model].values())
    return rows.filter(shop_id__in=shops)


def _heads(alias: str, shop_id: int) -> list[Any]:
    """Where the shop's log and each device stand."""
    shop = Shop.objects.using(alias).filter(pk=shop_id)
    devices = Device.objects.using(alias).filter(shop_id=shop_id).order_by("key")
    return [
        *shop.values_list("epoch", "head", "head_hash"),
        *devices.values_list("key", "token_sha256", "head_seq", "head_hash"),
    ]
