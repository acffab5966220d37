"""Tables only."""

from shop.models.batches import Aside, Batch, Event, KeptFile, Projection, Sheet
from shop.models.drawings import Drawing, DrawingVersion, Proof, ProofApproval
from shop.models.numbers import Change, NumberChange, ShopNumber
from shop.models.people import IncidentNote, SkillNote, WrongPins
from shop.models.shops import Desk, Device, JoinCode, KitCheck, Person, Shop

APPEND_ONLY = (
    *(Sheet, Event, Aside, NumberChange, KeptFile, KitCheck, Change, SkillNote),
    *(DrawingVersion, Proof, ProofApproval),
)

__all__ = [
    "APPEND_ONLY",
    "Aside",
    "Batch",
    "Change",
    "Desk",
    "Device",
    "Drawing",
    "DrawingVersion",
    "Event",
    "IncidentNote",
    "JoinCode",
    "KeptFile",
    "KitCheck",
    "NumberChange",
    "Person",
    "Projection",
    "Proof",
    "ProofApproval",
    "Sheet",
    "Shop",
    "ShopNumber",
    "SkillNote",
    "WrongPins",
]
