"""Cool: sheets, folded lumps, strips, logs and rods on their way to working temperature.

Built on `conduction`. Minutes from it are worth ± 30 %: contact with iron and board is hardly
known, so one reading, said to be of skin, core or mean, sets the pace for the rest (`paced`).
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from shop.craft.conduction import STEPS, Body, Cooling, Floats, cool
from shop.craft.errors import CraftError, check_range

Place = Literal["skin", "bottom", "core", "mean"]
LONGEST_S = 2 * 86_400.0


class NeverReached(CraftError):
    """A body that does not come to the wanted temperature where it lies."""

    def __init__(self, wanted_c: float, reached_c: float, after_s: float):
        super().__init__(
            f"{wanted_c:g} °C is not reached: after {after_s / 3600:g} h it is at "
            f"{reached_c:.1f} °C; ask for a temperature between that and where it starts."
        )
        self.wanted_c, self.reached_c, self.after_s = wanted_c, reached_c, after_s


class Section(NamedTuple):
    """One body at one instant [°C]: free face, face on the bed, middle, mean, and the bed."""

    skin: float
    bottom: float
    core: float
    mean: float
    bed: float


def after(body: Body, seconds: float) -> Section:
    """How hot a body is after `seconds` [s, up to a week].

    >>> from shop.craft.heat import Thermal
    >>> sheet = Body(0.015, Thermal(0.30, 1430.0, 1900.0), 145.0, above=0.0, below=200.0, bed_c=20)
    >>> [round(x, 1) for x in after(sheet, 300)[:2]]
    [133.6, 37.8]
    """
    return Section(*(float(course[0, -1]) for course in cool([body], [seconds])[1:]))


def seconds_until(
    bodies: Sequence[Body],
    targets_c: Sequence[float],
    place: Place = "mean",
    steps: int = STEPS,
) -> Floats:
    """When each body comes down (or up) to its target [s], all of them solved together.

    `targets_c` [°C], read at `place`. Spans are widened until every target is passed, then
    narrowed to it. Raises NeverReached after two days.

    >>> from shop.craft.heat import Thermal
    >>> strips = [Body(h, Thermal(0.3, 1400.0, 1800.0), 85.0) for h in (0.006, 0.012)]
    >>> thin, thick = seconds_until(strips, [70.0, 70.0])
    >>> bool(1.9 < thick / thin < 2.2)
    True
    """
    spans = np.array([_guess(body, to) for body, to in zip(bodies, targets_c, strict=True)])
    while True:
        course = cool(bodies, list(spans), steps)
        reached = getattr(course, place)
        passed = _passed(reached, targets_c)
        if passed.any(axis=1).all():
            break
        _check_reachable(reached, passed, targets_c, spans)
        spans = np.where(passed.any(axis=1), spans, spans * 4)
    first = _crossings(course, reached, targets_c)
    course = cool(bodies, list(np.maximum(first * 1.05, 1.0)), steps)
    return _crossings(course, getattr(course, place), targets_c)


def _guess(body: Body, target_c: float) -> float:
    """A span [s] that is likely to pass the target: one lump in air of 8 W/m² K and on its bed."""
    losing = 8.0 + body.below
    around = (8.0 * body.air_c + body.below * body.bed_c) / losing
    holds = body.material.density * body.material.heat_capacity * body.thickness_m
    share = (target_c - around) / (body.start_c - around) if body.start_c != around else 1.0
    return float(np.clip(holds / losing * -np.log(np.clip(share, 0.05, 0.95)), 10.0, LONGEST_S / 4))


def _passed(reached: Floats, targets_c: Sequence[float]) -> NDArray[np.bool_]:
    """Where a course is at or beyond its target, coming from its start."""
    wanted = np.asarray(targets_c, dtype=float)[:, None]
    falling = reached[:, :1] >= wanted
    return np.where(falling, reached <= wanted, reached >= wanted)


def _check_reachable(
    reached: Floats, passed: NDArray[np.bool_], targets_c: Sequence[float], spans: Floats
) -> None:
    for row in np.flatnonzero(~passed.any(axis=1)).tolist():
        if spans[row] * 4 > LONGEST_S:
            raise NeverReached(targets_c[row], float(reached[row, -1]), float(spans[row]))


def _crossings(course: Cooling, reached: Floats, targets_c: Sequence[float]) -> Floats:
    """Straight between the two steps round each target; 0 where it starts there."""
    found = []
    for times, values, wanted, passed in zip(
        course.times_s, reached, targets_c, _passed(reached, targets_c), strict=True
    ):
        i = int(np.argmax(passed))
        if i == 0:
            found.append(0.0 if passed[0] else float(times[-1]))
            continue
        share = (values[i - 1] - wanted) / (values[i - 1] - values[i])
        found.append(float(times[i - 1] + share * (times[i] - times[i - 1])))
    return np.array(found)


def folded(body: Body, folds_s: Sequence[float], until_s: float, thicker: float = 1.0) -> Cooling:
    """The course of a sheet that is folded or turned at `folds_s` [s], up to `until_s` [s].

    Folding mixes: afterwards the whole stands at the mean it had, `thicker` [1, 1–4] times as
    thick on less of the table. The middle of a first fold is liquid.

    >>> from shop.craft.heat import Thermal
    >>> sheet = Body(0.015, Thermal(0.30, 1430.0, 1900.0), 145.0, above=0.0, below=200.0, bed_c=20)
    >>> turned, lying = folded(sheet, [60, 120, 180, 240], 300), cool([sheet], [300])
    >>> bool(turned.mean[0, -1] < lying.mean[0, -1])
    True
    """
    check_range("thicker by", thicker, "1", 1, 4, "folding a sheet")
    courses, began = [], 0.0
    for end in [*folds_s, until_s]:
        course = cool([body], [end - began])
        courses.append(course._replace(times_s=course.times_s + began))
        mean, bed = float(course.mean[0, -1]), float(course.bed[0, -1])
        body = replace(body, start_c=mean, bed_c=bed, thickness_m=body.thickness_m * thicker)
        began = end
    return Cooling(*(np.concatenate(course, axis=1) for course in zip(*courses, strict=True)))


class Pace(NamedTuple):
    """How many times slower than the model this body cools [1], and what was read where."""

    slower: float
    place: Place
    read_c: float


def paced(body: Body, *, read_c: float, at_s: float, place: Place) -> Pace:
    """What one reading, `read_c` [°C] at `at_s` [s] of a stated `place`, says of the pace.

    slower = t_read/t_model: the model's minutes are stretched as a whole, as a weaker contact
    would. Raises OutOfRange beyond a third or three times: then the place or the body is wrong.

    >>> from shop.craft.heat import Thermal
    >>> sheet = Body(0.015, Thermal(0.30, 1430.0, 1900.0), 145.0, above=0.0, below=200.0, bed_c=20)
    >>> round(paced(sheet, read_c=101.6, at_s=360, place="mean").slower, 2)
    1.2
    """
    model = float(seconds_until([body], [read_c], place)[0])
    check_range("model time", model, "s", at_s / 3, at_s * 3, "one reading against the model")
    return Pace(at_s / model, place, read_c)


def seconds_left(body: Body, pace: Pace, *, at_s: float, target_c: float) -> float:
    """Seconds from a reading at `at_s` [s] until the mean comes to `target_c` [°C], at its pace.

    0 when it is already past.

    >>> from shop.craft.heat import Thermal
    >>> sheet = Body(0.015, Thermal(0.30, 1430.0, 1900.0), 145.0, above=0.0, below=200.0, bed_c=20)
    >>> pace = paced(sheet, read_c=101.6, at_s=360, place="mean")
    >>> round(seconds_left(sheet, pace, at_s=360, target_c=90.0) / 60, 1)
    2.9
    """
    return max(float(seconds_until([body], [target_c])[0]) * pace.slower - at_s, 0.0)


def open_times(strips: Sequence[Body], *, from_c: float, to_c: float, steps: int = STEPS) -> Floats:
    """How long each strip stays workable where it lies [s]: its mean from `from_c` to `to_c` [°C].

    Thickness and place (board, iron, warm air) are in the strips; they start even at `from_c`.

    >>> from shop.craft.heat import Thermal
    >>> sugar = Thermal(0.30, 1400.0, 1800.0)
    >>> board = Body(0.010, sugar, 85.0, below=2.0)
    >>> iron = Body(0.010, sugar, 85.0, below=150.0, bed_c=35.0)
    >>> on_board, on_iron = open_times([board, iron], from_c=85, to_c=70) / 60
    >>> bool(on_board > 3 * on_iron)
    True
    """
    check_range("last workable", to_c, "°C", -50, from_c, "cooling")
    parts = [replace(s, start_c=from_c) for s in strips]
    return seconds_until(parts, [to_c] * len(parts), steps=steps)
