"""Many cooling bodies at once: one-dimensional conduction, solved together.

Slabs and round rods are cut into cells (finite volumes); all bodies stand in one tridiagonal
system, so a whole picture costs one solve per time step. Time runs by the second-order backward
difference on a grid that starts fine and stretches, each body with its own span. Air takes heat
by convection and radiation at the face's own temperature; a table below may warm up itself.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_banded

from shop.craft.errors import check_range
from shop.craft.heat import Thermal, convection_from_plate, convection_from_rod, radiation, rayleigh

Floats = NDArray[np.float64]
CELLS = 40
STEPS = 160
STRETCH = 1.5
TABLE_POINTS = 25
SOLVER = "the cooling model"
# Stands for a table that never warms up; finite, so that the system stays a system of numbers.
ENDLESS = 1e15


@dataclass(frozen=True, slots=True)
class Body:
    """A slab (sheet, lump, strip) or a round rod (log, rod), of even temperature at first.

    thickness_m: of the slab, or the rod's diameter [m, 0.1 mm – 1 m]. start_c, air_c, bed_c [°C].
    above: coefficient of the free face [W/m² K]; None works it out from convection over `face_m`
    [m] and radiation, 0 insulates it. below: contact with the bed [W/m² K], slabs only.
    bank: what the bed holds per area [J/m² K]; infinite keeps it at `bed_c`.
    """

    thickness_m: float
    material: Thermal
    start_c: float
    air_c: float = 24.0
    is_round: bool = False
    above: float | None = None
    face_m: float = 0.25
    emissivity: float = 0.95
    pressure_pa: float = 101_325.0
    below: float = 0.0
    bed_c: float = 24.0
    bank: float = math.inf

    def check(self) -> None:
        """Raises OutOfRange where the model does not hold."""
        check_range("thickness", self.thickness_m, "m", 1e-4, 1, SOLVER)
        for name in ("start_c", "air_c", "bed_c"):
            check_range(name, getattr(self, name), "°C", -50, 1000, SOLVER)
        for name in ("conductivity", "density", "heat_capacity"):
            check_range(name, getattr(self.material, name), "SI", 1e-3, 1e5, SOLVER)
        check_range("below", self.below, "W/m²K", 0, 0 if self.is_round else 1e5, SOLVER)
        if self.above is not None:
            check_range("above", self.above, "W/m²K", 0, 1e5, SOLVER)


class Cooling(NamedTuple):
    """Courses of temperature [°C], one row a body, one column an instant.

    times_s [s]; skin: the face to the air; bottom: the face on the bed (a rod's axis); core: half
    way through the slab (a rod's axis); mean: by volume; bed: the table.
    """

    times_s: Floats
    skin: Floats
    bottom: Floats
    core: Floats
    mean: Floats
    bed: Floats


def cool(bodies: Sequence[Body], spans_s: Sequence[float], steps: int = STEPS) -> Cooling:
    """Cool every body for its own span [s, up to a week]; see `Cooling`.

    ρ c ∂T/∂t = ∇·(k ∇T), −k ∂T/∂n = h (T − T_air). `steps` ≥ 10 time steps. Raises OutOfRange
    for a body or span outside the model.

    >>> sugar = Thermal(0.30, 1430.0, 1900.0)
    >>> sheet = Body(0.015, sugar, 145.0, above=0.0, below=200.0, bed_c=20.0)
    >>> course = cool([sheet], [300.0])
    >>> [round(float(x[0, -1]), 1) for x in (course.skin, course.bottom, course.mean)]
    [133.6, 37.8, 101.6]
    """
    for body, span in zip(bodies, spans_s, strict=True):
        body.check()
        check_range("span", span, "s", 1e-3, 7 * 86_400, SOLVER)
    system = _System(bodies)
    fractions = (np.arange(steps + 1) / steps) ** STRETCH
    times = np.outer(np.asarray(spans_s, dtype=float), fractions)
    now = before = system.start()
    seen = [system.places(now)]
    for i in range(steps):
        step = times[:, i + 1] - times[:, i]
        growth = step / (times[:, i] - times[:, i - 1]) if i else np.zeros(len(bodies))
        now, before = system.advance(now, before, step, growth), now
        seen.append(system.places(now))
    return Cooling(times, *(np.stack(course, axis=1) for course in zip(*seen, strict=True)))


class _System:
    """The cells of all bodies. Column 0 is the bed, 1 its neighbour, the last one has the air."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.bodies = bodies
        self.is_round = np.array([b.is_round for b in bodies])
        across = np.array([b.thickness_m / 2 if b.is_round else b.thickness_m for b in bodies])
        self.conductivity = np.array([b.material.conductivity for b in bodies])
        cell = across / CELLS
        edges = np.arange(CELLS + 1) * cell[:, None]
        ring = self.is_round[:, None]
        self.volume = np.where(ring, (edges[:, 1:] ** 2 - edges[:, :-1] ** 2) / 2, cell[:, None])
        area = np.where(ring, edges, 1.0)
        heat = np.array([b.material.density * b.material.heat_capacity for b in bodies])
        bank = np.array([min(b.bank, ENDLESS) for b in bodies])
        self.capacity = np.column_stack([bank, self.volume * heat[:, None]])
        self.half = 2 * self.conductivity / cell
        below = np.array([b.below for b in bodies])
        self.to_bed = below * self.half / (below + self.half)
        inside = self.conductivity[:, None] * area[:, 1:-1] / cell[:, None]
        self.links = np.column_stack([self.to_bed, inside])
        self.outer_area = area[:, -1]
        self.air = np.array([b.air_c for b in bodies])
        self._tabulate()

    def start(self) -> Floats:
        """Temperatures at first, a row a body."""
        cells = np.array([[b.start_c] for b in self.bodies]) * np.ones((1, CELLS))
        return np.column_stack([np.array([b.bed_c for b in self.bodies]), cells])

    def _tabulate(self) -> None:
        """The free face's coefficient against its temperature, once for each body."""
        highest = [max(b.start_c, b.bed_c, b.air_c + 1) for b in self.bodies]
        self.table_low = self.air
        self.table_step = (np.array(highest) - self.air) / (TABLE_POINTS - 1)
        self.table = np.array(
            [
                face_coefficients(b, np.linspace(b.air_c, top, TABLE_POINTS))
                for b, top in zip(self.bodies, highest, strict=True)
            ]
        )

    def _face(self, outer: Floats) -> tuple[Floats, Floats]:
        """Skin temperature and conductance to the air for the outermost cells' temperatures."""
        skin = outer
        for _ in range(2):
            place = np.clip((skin - self.table_low) / self.table_step, 0, TABLE_POINTS - 1.000001)
            index = place.astype(int)
            rows = np.arange(len(self.bodies))
            left, right = self.table[rows, index], self.table[rows, index + 1]
            h = left + (right - left) * (place - index)
            skin = (h * self.air + self.half * outer) / (h + self.half)
        return skin, h * self.half / (h + self.half) * self.outer_area

    def advance(self, now: Floats, before: Floats, step: Floats, growth: Floats) -> Floats:
        """One step of the variable backward difference; `growth` 0 makes it backward Euler."""
        ahead = now[:, -1] + growth * (now[:, -1] - before[:, -1])
        to_air = self._face(ahead)[1]
        rate = self.capacity / step[:, None]
        g = growth[:, None]
        right = rate * ((1 + g) * now - g**2 / (1 + g) * before)
        right[:, -1] += to_air * self.air
        diagonal = rate * (1 + 2 * g) / (1 + g)
        diagonal[:, :-1] += self.links
        diagonal[:, 1:] += self.links
        diagonal[:, -1] += to_air
        apart = np.zeros((len(self.bodies), 1))
        upper = np.hstack([apart, -self.links]).ravel()
        lower = np.hstack([-self.links, apart]).ravel()
        banded = np.stack([upper, diagonal.ravel(), lower])
        solved = solve_banded((1, 1), banded, right.ravel(), overwrite_ab=True, overwrite_b=True)
        return np.asarray(solved, dtype=float).reshape(now.shape)

    def places(self, now: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Skin, bottom, core, mean and bed of every body."""
        cells = now[:, 1:]
        skin, _ = self._face(now[:, -1])
        axis = (9 * cells[:, 0] - cells[:, 1]) / 8
        flow = self.to_bed * (cells[:, 0] - now[:, 0])
        bottom = np.where(self.is_round, axis, cells[:, 0] - flow / self.half)
        middle = (cells[:, CELLS // 2 - 1] + cells[:, CELLS // 2]) / 2
        mean = (cells * self.volume).sum(axis=1) / self.volume.sum(axis=1)
        return skin, bottom, np.where(self.is_round, axis, middle), mean, now[:, 0]


def face_coefficients(body: Body, temperatures_c: Floats) -> Floats:
    """Convection and radiation of the free face [W/m² K] at its temperatures [°C].

    McAdams over a slab, Churchill and Chu round a rod, and Stefan–Boltzmann. Within a kelvin or
    two of the air neither holds (Ra below 10⁴ or 10⁻⁵); the last coefficient that holds is kept
    there, where almost no heat flows.
    """
    if body.above is not None:
        return np.full(len(temperatures_c), body.above)
    convection, last = np.zeros(len(temperatures_c)), 0.0
    for i in reversed(range(len(temperatures_c))):
        skin = float(temperatures_c[i])
        is_hottest = i == len(temperatures_c) - 1
        convection[i] = _convection(body, skin) if is_hottest or _holds(body, skin) else last
        last = float(convection[i])
    around = [radiation(float(t), body.air_c, body.emissivity) for t in temperatures_c]
    return np.asarray(convection + np.array(around), dtype=float)


def _convection(body: Body, skin_c: float) -> float:
    if body.is_round:
        return convection_from_rod(skin_c, body.air_c, body.thickness_m, body.pressure_pa)
    return convection_from_plate(skin_c, body.air_c, body.face_m, body.pressure_pa)


def _holds(body: Body, skin_c: float) -> bool:
    """Whether still air rises well enough for the formula."""
    if skin_c - body.air_c < 0.01:
        return False
    least, size = (1e-5, body.thickness_m) if body.is_round else (1e4, body.face_m)
    return rayleigh(skin_c, body.air_c, size, body.pressure_pa) >= least
