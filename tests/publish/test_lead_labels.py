"""Words on the curve of a lead: clear of all that is drawn and of each other, each beside its own mark."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations

import pytest
from tests.publish.test_verdict_figures import LEAD, PAIR, SHARES, sound

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.lead_by_weight import lead_by_weight
from evenhand.publish.figures.lead_labels import NARROW, WIDE
from evenhand.publish.figures.lead_plot import Lead, Plot, StandsAt

TEXT = re.compile(
    r'<text class="(slim|broad)" x="([\d.]+)%"(?: dx="(-?[\d.]+)")? y="([\d.]+)"'
    r' text-anchor="(\w+)">(.*?)</text>'
)
BACK = {"start": 0.0, "middle": 0.5, "end": 1.0}
NINE = (0.8, 0.5, 0.2, 0.95, 0.57, 0.45, 0.17, 0.0, 1.0)


def shaped(first: float, last: float, half: float) -> Lead:
    percents = tuple(first + (last - first) * share for share in SHARES)
    return Lead(
        shares=SHARES, percent=percents,
        low=tuple(p - half for p in percents), high=tuple(p + half for p in percents),
    )  # fmt: skip


STEEP, BEYOND, FLAT = shaped(-9.0, 6.0, 0.4), shaped(-3.9, -4.5, 0.4), shaped(0.3, -0.1, 0.3)
FALLING, WIDELY = shaped(5.0, -7.0, 1.5), shaped(-11.0, 25.0, 6.0)
LEADS = {"demo": LEAD, "steep": STEEP, "beyond": BEYOND, "flat": FLAT, "falling": FALLING, "wide": WIDELY}


@dataclass(frozen=True)
class Words:
    said: str
    left: float
    right: float
    y: float

    @property
    def top(self) -> float:
        return self.y - 10

    @property
    def bottom(self) -> float:
        return self.y + 3


def drawn(lead: Lead, shares: tuple[float, ...]) -> tuple[str, tuple[StandsAt, ...]]:
    """The figure; every audience has a number of its own, by which its words are known."""
    stands = tuple(
        StandsAt(name=f"Audience {i}", share=share, here=not i, said=f"1.{i}1 %")
        for i, share in enumerate(shares)
    )
    return sound(lead_by_weight(lead, PAIR, stands, "games")), stands


def words(svg: str, wide: float) -> list[Words]:
    """Every line of words that the figure shows so wide, but those of the axis."""
    kind = "broad" if wide >= WIDE else "slim"
    found = []
    for shown, x, dx, y, anchor, inside in TEXT.findall(svg):
        spans = re.findall(r'<tspan class="(\w+)"[^>]*>(.*?)</tspan>', inside)
        long = sum(width(said, 14, Face.STRONG if c == "str" else Face.TEXT) for c, said in spans)
        left = float(x) / 100 * wide + float(dx or 0) - BACK[anchor] * long
        if shown == kind:
            found.append(Words(said=spans[0][1], left=left, right=left + long, y=float(y)))
    return found


@pytest.mark.parametrize("wide", [NARROW, 328.0, 358.0, WIDE, 653.0, 1160.0])
@pytest.mark.parametrize("name", LEADS)
@pytest.mark.parametrize(
    "shares", [NINE, (0.8, 0.5, 0.2), (0.5, 0.55, 0.6), (0.6,), (0.02, 0.98), (0.45, 0.5)]
)
def test_no_words_touch_each_other_or_anything_drawn(
    shares: tuple[float, ...], name: str, wide: float
) -> None:
    lead = LEADS[name]
    svg, stands = drawn(lead, shares)
    told, plot = words(svg, wide), Plot.of(lead, PAIR.margin)
    assert lead.low is not None
    assert lead.high is not None
    for one, other in combinations(told, 2):
        apart = one.right + 3 < other.left or other.right + 3 < one.left
        assert apart or one.bottom < other.top or other.bottom < one.top, (one, other)
    for one in told:
        assert one.left >= -1, one
        assert one.right <= wide + 1, one
        for height in (*plot.edges, plot.zero):
            assert not one.top < height < one.bottom, one
        for share, low, high in zip(lead.shares, lead.low, lead.high, strict=True):
            if one.left < share * wide < one.right:
                assert one.bottom < plot.y(high) or one.top > plot.y(low), one
        for each in stands:
            x, y = each.share * wide, plot.y(lead.at(each.share)[0])
            beside = x + 6 < one.left or x - 6 > one.right
            assert beside or one.bottom < y - 5 or one.top > y + 5, (one, each)


@pytest.mark.parametrize("wide", [NARROW, 358.0, WIDE, 653.0])
@pytest.mark.parametrize("name", LEADS)
def test_a_number_stands_nearest_to_the_mark_of_its_own_audience(name: str, wide: float) -> None:
    lead = LEADS[name]
    svg, stands = drawn(lead, NINE)
    plot = Plot.of(lead, PAIR.margin)
    numbers = {one.said: one for one in words(svg, wide)}
    for each in stands:
        if each.said not in numbers:
            continue
        one = numbers[each.said]
        far = {}
        for other in stands:
            percent, low, high = lead.at(other.share)
            assert low is not None
            assert high is not None
            x = other.share * wide
            top, bottom = min(plot.y(high), plot.y(percent) - 7), max(plot.y(low), plot.y(percent) + 7)
            across = max(one.left - x, x - one.right, 0.0)
            down = max(one.top - bottom, top - one.bottom, 0.0)
            far[other.share] = (across**2 + down**2) ** 0.5
        assert min(far, key=lambda share: far[share]) == each.share, (each, far)
        assert far[each.share] < 40


@pytest.mark.parametrize("wide", [NARROW, 328.0, 358.0, WIDE])
@pytest.mark.parametrize(
    "shares", [(0.8, 0.5, 0.2, 0.7778), (0.2, 0.21, 0.19), (0.5, 0.51, 0.49, 0.48, 0.52)]
)
def test_crowded_out_a_number_never_stands_across_the_band(shares: tuple[float, ...], wide: float) -> None:
    """Far below the band a number above it would be read as the other one's lead."""
    for lead in (shaped(-18.8, -22.1, 0.5), shaped(22.1, 18.8, 0.5)):
        svg, stands = drawn(lead, shares)
        plot, numbers = Plot.of(lead, PAIR.margin), {one.said: one for one in words(svg, wide)}
        for each in (each for each in stands if each.said in numbers):
            mark, label = plot.y(lead.at(each.share)[0]), numbers[each.said].y
            assert (mark < plot.zero) == (label < plot.zero), (each, label)
            assert abs(mark - label) < 100
    if shares[0] == 0.8:
        assert stands[0].said in numbers, "there is room beside its own mark"


@pytest.mark.parametrize(("wide", "least"), [(NARROW, 8), (358.0, 8), (WIDE, 8), (653.0, 8)])
def test_nine_audiences_bear_their_numbers_the_one_looked_at_always(wide: float, least: int) -> None:
    svg, stands = drawn(LEAD, NINE)
    numbers = {one.said for one in words(svg, wide)}
    assert len(numbers & {each.said for each in stands}) >= least
    for name, lead in LEADS.items():
        svg, stands = drawn(lead, NINE)
        assert stands[0].said in {one.said for one in words(svg, wide)}, name


def test_a_few_audiences_are_named_beside_their_numbers() -> None:
    svg, _ = drawn(LEAD, (0.8, 0.5, 0.2))
    for i in range(3):
        assert len(re.findall(rf'1.{i}1 %</tspan><tspan class="mut" dx="5">Audience {i}<', svg)) == 2


def test_two_audiences_at_one_place_share_a_mark_and_the_words_of_the_one_looked_at() -> None:
    stands = (
        StandsAt(name="Other", share=0.8, said="2.0 %"),
        StandsAt(name="Own", share=0.8, here=True, said="1.0 %"),
    )
    svg = sound(lead_by_weight(LEAD, PAIR, stands, "games"))
    assert "Own" in svg
    assert "Other" not in svg


@pytest.mark.parametrize("name", LEADS)
def test_the_figure_wastes_no_height(name: str) -> None:
    svg, _ = drawn(LEADS[name], (0.8,))
    heights = [float(y) for y in re.findall(r' y1?="([\d.]+)"', svg)]
    heights += [float(y) for y in re.findall(r"[ML ][\d.]+ ([\d.]+)", svg)]
    assert min(h for h in heights if h > 0) < 34
