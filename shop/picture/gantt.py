"""The build as a picture: a lane for each hand, a bar for each part in its own sugar's colour.

Scalable, plain shapes and attributes only, so that it may stand in any page or on paper.
"""

from collections.abc import Mapping
from html import escape
from typing import Any

INK, SOFT, STONE, DARK, PAPER = "#1c1917", "#3d3731", "#dcd8cf", "#8f887c", "#faf7f1"
COPPER, ALARM = "#b4622d", "#7a0b0b"
FONT = "Roboto Condensed, Arial Narrow, Liberation Sans Narrow, Liberation Sans, sans-serif"
WIDE, LEFT, RIGHT, TOP, LANE, GAP, KEY = 1180, 96, 24, 56, 64, 12, 22
COLUMNS = 4


def gantt_svg(found: Mapping[str, Any], swatches: Mapping[str, str]) -> str:
    """`schedule.build`'s answer as SVG; `swatches`: `#rrggbb` by portion.

    Upper bar: cut; lower bar: laid. A thread joins the two where the part waits, thick and copper
    under the heater. Numbers are the order of laying; the key below names them.
    """
    return _Picture(found, swatches).whole()


class _Picture:
    """Places and marks of one build."""

    def __init__(self, found: Mapping[str, Any], swatches: Mapping[str, str]) -> None:
        self.found, self.swatches = found, swatches
        self.hands = {name: n for n, name in enumerate(found["hands"])}
        self.until: float = max(found["close"]["end_s"], found["limit_minutes"] * 60) + 60
        self.low = TOP + len(self.hands) * (LANE + GAP)
        self.rows = -(-len(found["order"]) // COLUMNS)
        self.high = self.low + 52 + self.rows * KEY + 16

    def whole(self) -> str:
        """The lanes, then bars, then what must be read over them."""
        marks = [self._ground(), *self._lanes(), *self._both_ends(), *self._threads()]
        marks += [*self._bars(), *self._minutes(), self._limit(), *self._key()]
        head = f'viewBox="0 0 {WIDE} {self.high}" role="img" font-family="{FONT}"'
        title = f"<title>{escape(self.found['says'])}</title>"
        return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{title}{"".join(marks)}</svg>'

    def x(self, second: float) -> float:
        return round(LEFT + second / self.until * (WIDE - LEFT - RIGHT), 1)

    def y(self, hand: str) -> int:
        return TOP + self.hands[hand] * (LANE + GAP)

    def _ground(self) -> str:
        says = _words(LEFT, 34, self.found["says"], 22, INK, bold=True)
        edge = f'<rect width="{WIDE}" height="7" fill="{COPPER}"/>'
        how = "above: cut, below: laid; a thread: waits, copper: under the heater"
        how = _words(WIDE - RIGHT, self.high - 12, how, 16, SOFT, anchor="end")
        return f'<rect width="{WIDE}" height="{self.high}" fill="{PAPER}"/>{edge}{says}{how}'

    def _lanes(self) -> list[str]:
        wide = WIDE - LEFT - RIGHT
        return [
            f'<rect x="{LEFT}" y="{self.y(name)}" width="{wide}" height="{LANE}" fill="{STONE}"/>'
            + _words(LEFT - 10, self.y(name) + 40, name, 20, INK, anchor="end", bold=True)
            for name in self.hands
        ]

    def _both_ends(self) -> list[str]:
        """Pull and closing, for everybody."""
        tall = self.low - GAP - TOP
        found = []
        for spell, words in ((self.found["pull"], "Pull"), (self.found["close"], "Band, casing")):
            left, right = self.x(spell["start_s"]), self.x(spell["end_s"])
            box = f'x="{left}" y="{TOP}" width="{right - left:.1f}" height="{tall}"'
            found.append(f'<rect {box} fill="{PAPER}" stroke="{DARK}" stroke-width="2"/>')
            middle = (left + right) / 2
            found.append(_words(middle, TOP + tall / 2 + 7, words, 20, SOFT, anchor="middle"))
        return found

    def _bars(self) -> list[str]:
        found = []
        for work in self.found["order"]:
            fill = self.swatches.get(work["portion"], STONE)
            if work["cut_hand"] and work["cut_end_s"] > work["start_s"]:
                at = (work["start_s"], work["cut_end_s"], self.y(work["cut_hand"]) + 4, 20)
                found.append(self._bar(*at, fill))
            top = self.y(work["hand"]) + 26
            found.append(self._bar(work["lay_s"], work["end_s"], top, 34, fill))
            middle = (self.x(work["lay_s"]) + self.x(work["end_s"])) / 2
            ink = _readable(fill)
            found.append(
                _words(middle, top + 23, str(work["n"]), 15, ink, anchor="middle", bold=True)
            )
        return found

    def _bar(self, start: float, end: float, top: float, tall: int, fill: str) -> str:
        left = self.x(start)
        box = f'x="{left}" y="{top}" width="{self.x(end) - left:.1f}" height="{tall}"'
        return f'<rect {box} fill="{fill}" stroke="{INK}" stroke-width="1.5"/>'

    def _threads(self) -> list[str]:
        """From the knife to the log, where a part waits between."""
        found = []
        for work in self.found["order"]:
            if not work["wait_s"] or not work["cut_hand"]:
                continue
            warm = work["place"] == "heater"
            ends = (
                f'x1="{self.x(work["cut_end_s"])}" y1="{self.y(work["cut_hand"]) + 14}" '
                f'x2="{self.x(work["lay_s"])}" y2="{self.y(work["hand"]) + 43}"'
            )
            look = f'stroke="{COPPER if warm else DARK}" stroke-width="{5 if warm else 2.5}"'
            found.append(f"<line {ends} {look}/>")
        return found

    def _minutes(self) -> list[str]:
        found = []
        for minute in range(0, int(self.until // 60) + 1, 5):
            x = self.x(minute * 60)
            tick = f'x1="{x}" y1="{self.low - GAP}" x2="{x}" y2="{self.low - 4}"'
            found.append(f'<line {tick} stroke="{INK}" stroke-width="2"/>')
            words = f"{minute} min" if minute else "0"
            found.append(_words(x, self.low + 16, words, 18, SOFT, anchor="middle"))
        return found

    def _limit(self) -> str:
        x = self.x(self.found["limit_minutes"] * 60)
        line = f'x1="{x}" y1="{TOP - 6}" x2="{x}" y2="{self.low - 2}"'
        return f'<line {line} stroke="{ALARM}" stroke-width="4"/>' + _words(
            x - 8, TOP + 20, "latest", 18, ALARM, anchor="end", bold=True
        )

    def _key(self) -> list[str]:
        found = []
        for index, work in enumerate(self.found["order"]):
            column, row = divmod(index, self.rows)
            x = LEFT + column * (WIDE - LEFT - RIGHT) / COLUMNS
            y = self.low + 52 + row * KEY
            fill = self.swatches.get(work["portion"], STONE)
            box = f'x="{x:.1f}" y="{y - 13}" width="16" height="16" fill="{fill}"'
            found.append(f'<rect {box} stroke="{INK}" stroke-width="1.5"/>')
            found.append(_words(x + 24, y, f"{work['n']}  {work['name']}", 18, INK))
        return found


def _words(
    x: float,
    y: float,
    words: str,
    size: int,
    fill: str,
    *,
    anchor: str = "start",
    bold: bool = False,
) -> str:
    weight = ' font-weight="700"' if bold else ""
    place = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{fill}" text-anchor="{anchor}"'
    return f"<text {place}{weight}>{escape(words)}</text>"


def _readable(fill: str) -> str:
    """Ink on light sugar, paper on dark."""
    red, green, blue = (int(fill[n : n + 2], 16) for n in (1, 3, 5))
    return INK if 0.299 * red + 0.587 * green + 0.114 * blue > 128 else PAPER
