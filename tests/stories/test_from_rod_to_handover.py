"""Rods, the forecast of bags and the handover on one phone without the network: 12, 13, 10, 9."""

from __future__ import annotations

import re

from shop.record.fold import fold
from tests.lessons.simulated import sheet as finished_sheet
from tests.record.demo_record import demo_events
from tests.stories.board import key, texts, type_px, write
from tests.stories.conftest import Phone, Walk
from tests.stories.hand import words_of

SPOTS = 8
LOG = {"Log": ("10.93", "kg"), "Log length": ("477", "mm"), "Girth": ("474", "mm")}
PACKED = 95


def test_a_thick_rod_changes_cut_and_metres_at_once(crew: Phone, walk: Walk) -> None:
    crew.go("roller")
    crew.pass_until("Gauge")
    crew.hand.clear()
    key(crew, "Write")
    key(crew, "Rod gauge")
    with walk.machine():
        crew.type("14.8", "mm")
        crew.page.locator(".station .lines", has_text="10.7").wait_for()
    walk.saw("presses to write it down", crew.hand.presses + crew.hand.figures)
    crew.hand.clear()
    walk.pressed(crew.hand)
    lines = texts(crew, ".station .lines").replace("\u202f", " ")
    walk.saw("cut at", re.findall(r"Cut at ([\d.]+ mm)", lines)[0])
    walk.saw("good rod", re.findall(r"Good rod ([\d.–]+ m)", lines)[0])
    walk.saw("type of these lines", f"{type_px(crew, '.station .lines')} px")
    # 12 mm of 14 mm rod have the volume of so much 14.8 mm rod.
    assert f"{12 * 14**2 / 14.8**2:.1f} mm" == walk.figures["cut at"]


def test_bags_are_foretold_before_a_rod_is_cut(crew: Phone, walk: Walk) -> None:
    """Against the invented day: 95 bags were packed of a log of 10.93 kg."""
    crew.go("block")
    crew.pass_until("Measure log")
    crew.finish(LOG)
    crew.go("roller")
    crew.pass_until("Gauge")
    write(crew, "Head binned", "340", "g")
    write(crew, "Rod gauge", "14.1", "mm")
    crew.pass_until("First rack")
    said = texts(crew, ".station .lines").replace("\u202f", " ")
    low, high = map(int, re.findall(r"Bags forecast (\d+)–(\d+)", said)[0])
    walk.saw("bags forecast", f"{low}–{high}")
    walk.saw("bags packed", PACKED)
    walk.saw("middle is off by", f"{abs((low + high) / 2 - PACKED) / PACKED:.1%}")
    walk.saw("either way", f"{(high - low) / (high + low):.1%}")
    walk.saw("presses", 0)
    assert fold(finished_sheet(), demo_events())["tallies"]["bags"] == PACKED


def test_who_comes_sees_all_that_is_hot_and_how_old_that_is(crew: Phone, walk: Walk) -> None:
    """Against the record itself: every temperature read above 60 °C at a station still at work."""
    crew.page.goto(f"{crew.base}/floor/#/b/demo-handover/roller")
    crew.page.locator(".station").wait_for()
    crew.hand.clear()
    crew.page.locator(".rail .up").click()
    with walk.machine():
        crew.page.get_by_role("button", name="Hand over").click()
        crew.page.get_by_role("heading", name="Glance card").wait_for()
    walk.saw("presses to the card", crew.hand.presses)
    crew.hand.clear()
    walk.pressed(crew.hand)
    hot = crew.page.locator(".part", has=crew.page.get_by_text("Hot", exact=True)).locator("li")
    lines = hot.all_inner_texts()
    walk.saw("hot things", len(lines))
    assert all(re.search(r"\d\d °C, .* ago", line.replace("\u202f", " ")) for line in lines)
    walk.saw("each with its age", "yes")
    walk.saw("words read", sum(words_of(line) for line in lines))
    walk.saw("type", f"{type_px(crew, '.part li')} px")


def test_a_card_is_ready_in_two_presses_and_asks_eight_things(crew: Phone, walk: Walk) -> None:
    crew.go("handover")
    crew.page.get_by_role("heading", name="Handover").wait_for()
    parts = [part.inner_text() for part in crew.page.locator(".part").all()]
    walk.saw("parts filled in by the program", len(parts))
    crew.hand.clear()
    key(crew, "Hand over")
    with walk.machine():
        key(crew, "Greta")
        crew.page.get_by_text("Offered to Greta").first.wait_for()
    walk.pressed(crew.hand)
    crew.be("Greta")
    crew.go("handover")
    crew.hand.clear()
    key(crew, "Spot questions")
    for n in range(SPOTS):
        crew.page.locator(".panel h2").get_by_text(f"{n + 1}. ").wait_for()
        key(crew, "Show the answer")
        key(crew, "Right")
    crew.page.locator(".panel h2").get_by_text(f"{SPOTS} of {SPOTS} right").wait_for()
    walk.saw("spot questions", SPOTS)
    walk.saw("presses to ask them", crew.hand.presses)
    key(crew, "Close")
    crew.be("Maren")
