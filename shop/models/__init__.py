"""Tables only."""

from shop.models.batches import Aside, Batch, BoilFacts, Event, KeptFile, Projection, Sheet
from shop.models.drawings import ApprovalName, Drawing, DrawingVersion, Proof, ProofApproval
from shop.models.labels import LabelPrint
from shop.models.numbers import Change, NumberChange, ShopNumber, WayVersion
from shop.models.orders import Customer, Delivery, Order, OrderBoil, OrderEntry
from shop.models.people import IncidentNote, SkillNote, WrongPins
from shop.models.shops import Desk, Device, JoinCode, KitCheck, Person, Shop
from shop.models.stock import (
    LotMove,
    LotUse,
    Material,
    MaterialLot,
    Recall,
    RecallTold,
    Scrap,
    ScrapMove,
)

APPEND_ONLY = (
    *(Sheet, Event, Aside, NumberChange, KeptFile, KitCheck, Change, SkillNote),
    *(DrawingVersion, Proof, ProofApproval),
    *(OrderEntry, Delivery, LotMove, Scrap, ScrapMove, Recall, RecallTold),
    *(LabelPrint, WayVersion),
)

__all__ = [
    "APPEND_ONLY",
    "ApprovalName",
    "Aside",
    "Batch",
    "BoilFacts",
    "Change",
    "Customer",
    "Delivery",
    "Desk",
    "Device",
    "Drawing",
    "DrawingVersion",
    "Event",
    "IncidentNote",
    "JoinCode",
    "KeptFile",
    "KitCheck",
    "LabelPrint",
    "LotMove",
    "LotUse",
    "Material",
    "MaterialLot",
    "NumberChange",
    "Order",
    "OrderBoil",
    "OrderEntry",
    "Person",
    "Projection",
    "Proof",
    "ProofApproval",
    "Recall",
    "RecallTold",
    "Scrap",
    "ScrapMove",
    "Sheet",
    "Shop",
    "ShopNumber",
    "SkillNote",
    "WayVersion",
    "WrongPins",
]
