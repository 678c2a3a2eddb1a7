"""Words beside places touch in no width that the figure is shown in."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from tests.publish.test_verdict_figures import LEAD, PAIR, sound

from evenhand.publish.figures.lead_by_weight import lead_by_weight
from evenhand.publish.figures.lead_labels import LINE, NARROW, WIDE, Label, free_height
from evenhand.publish.figures.lead_plot import Lead, StandsAt

WORDS = re.compile(
    r'<text class="([^"]*)" x="([\d.]+)%"(?: dx="(-?\d+)")? y="([\d.]+)" text-anchor="(\w+)">(.*?)</text>'
)


def written(svg: str, wide: float) -> list[Label]:
    """Every line of words that the figure shows so wide."""
    return [
        Label(x=float(x), y=float(y), dx=float(dx or 0), anchor=anchor, said=re.sub("<[^>]+>", " ", said))
        for kind, x, dx, y, anchor, said in WORDS.findall(svg)
        if wide > NARROW or "wide-only" not in kind
    ]


@pytest.mark.parametrize("wide", [NARROW, WIDE])
@pytest.mark.parametrize(
    "shares", [(0.8, 0.5, 0.2), (0.5, 0.55, 0.6), (0.58, 0.62), (0.05, 0.95), (0.45, 0.5)]
)
def test_no_words_touch(shares: tuple[float, ...], wide: float) -> None:
    stands = [StandsAt(name=f"{share}", share=share, here=not i) for i, share in enumerate(shares)]
    svg = sound(lead_by_weight(LEAD, PAIR, stands, "games"))
    for one, other in combinations(written(svg, wide), 2):
        assert not (abs(one.y - other.y) < 12 and one._meets(other, wide)), (one, other)


@pytest.mark.parametrize("lead", [5.0, -5.0])
@pytest.mark.parametrize("share", [1 / 3, 0.7])
def test_the_number_of_a_lead_past_the_margin_does_not_touch_whose_it_is(lead: float, share: float) -> None:
    flat = Lead(shares=(0.0, share, 1.0), percent=(lead,) * 3, low=(lead - 0.3,) * 3, high=(lead + 0.3,) * 3)
    svg = sound(lead_by_weight(flat, PAIR, [StandsAt(name="all", share=share, here=True)], "games"))
    for one, other in combinations(written(svg, NARROW), 2):
        assert not (abs(one.y - other.y) < 12 and one._meets(other, NARROW)), (one, other)


def test_words_move_only_as_far_as_they_must() -> None:
    label = Label(x=50, y=100, said="turns at 50 % games", anchor="middle")
    assert free_height(label, [], between=(20, 200)) == 100
    above = Label(x=50, y=110, said="+1.4 %", anchor="middle")
    moved = free_height(label, [above], between=(20, 200))
    assert 80 < moved < 100
    assert free_height(label, [above], between=(20, 200), lines=2) <= moved - LINE + 4


@pytest.mark.parametrize("at", [112.0, 100.0, 96.0])
def test_no_line_is_drawn_through_words(at: float) -> None:
    """A stroke before a number reads as a minus."""
    label = Label(x=50, y=100, said="turns at 50 % games", anchor="middle")
    first = free_height(label, [], between=(20, 200), lines=2, drawn=[at])
    assert not any(y - 11 < at < y + 3 for y in (first, first + LINE))
