"""The way of a flip on a card: both ends are told of whoever is in front there."""

from __future__ import annotations

from tests.publish import saltmarsh as s

from evenhand.publish.figures.flip_ways import way_of
from evenhand.publish.figures.interval_rows import Pair
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move

ABOUT = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)


def test_a_title_left_out_is_drawn_with_the_lead_of_the_one_in_front_and_no_sign() -> None:
    without = Move(lever=Lever.TITLE, name="causeway", size=0.2)
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.ORDER, moves=(without,), was=1, becomes=-1, ratio=0.99)
    way = way_of(flip, ABOUT, ratio=1.014, currency=None)
    assert way is not None
    assert (way.now, way.then) == ("1.4\u00a0%", "1.0\u00a0%")
    assert way.start > 0.5 > way.end, "on the side of the one that is in front"
    assert (way.slot, way.turned) == (s.NAMES.slot("plover"), s.NAMES.slot("dunlin"))
