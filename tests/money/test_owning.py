"""What a machine costs over the years, against examples worked by hand from the formula.

The formula (Evenhand's method, the part on money): ownership = price + energy (ΣW·h/1000 × tariff) +
repairs − what is fetched, V0·share·e^(−k·t). In every example below: three years, repairs 20 a year, so 60.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.owning import Keeping, Owned, Range, apart, middle, owned, settled

# The spans of the worked example.
KEPT = Keeping(
    years=3, repairs_minor=20, resale=(0.6, 0.8), fall=(0.25, 0.45), hours=(900, 1500), tariff=(0.28, 0.36)
)


def test_the_parts_of_a_machine_of_998_at_310_watts_are_those_worked_by_hand() -> None:
    # energy  cheap   0.310 kW ×  900 h × 3 × 0.28 = 234.36 → 234
    #         middle  0.310 kW × 1200 h × 3 × 0.32 = 357.12 → 357
    #         dear    0.310 kW × 1500 h × 3 × 0.36 = 502.20 → 502
    # fetches least   998 × 0.6 × e^(−0.45·3) = 598.8 × 0.259240 = 155.23 → 155
    #         middle  998 × 0.7 × e^(−0.35·3) = 698.6 × 0.349938 = 244.47 → 244
    #         most    998 × 0.8 × e^(−0.25·3) = 798.4 × 0.472367 = 377.14 → 377
    # whole   cheap   998 + 234 + 60 − 377 =  915
    #         middle  998 + 357 + 60 − 244 = 1171
    #         dear    998 + 502 + 60 − 155 = 1405
    found = owned(998, 310.0, KEPT)
    assert found.energy == Range(low=234, mid=357, high=502)
    assert found.repairs_minor == 60
    assert found.fetches == Range(low=155, mid=244, high=377)
    assert found.whole == Range(low=915, mid=1171, high=1405)
    assert found.lost_minor == 998 - 244


def test_what_each_span_adds_to_the_range_is_told_with_the_others_in_their_middle() -> None:
    # hours  0.310 × 3 × 0.32 × (1500 − 900): 446.40 − 267.84 → 446 − 268 = 178
    # tariff 0.310 × 1200 × 3 × (0.36 − 0.28): 401.76 − 312.48 → 402 − 312 = 90
    # resale 998 × e^(−1.05) × (0.8 − 0.6): 279.39 − 209.54 → 279 − 210 = 69
    # fall   998 × 0.7 × (e^(−0.75) − e^(−1.35)): 330.00 − 181.11 → 330 − 181 = 149
    assert owned(998, 310.0, KEPT).swings == {"hours": 178, "tariff": 90, "resale": 69, "fall": 149}


@pytest.mark.parametrize(
    ("watts", "kept"),
    [(None, KEPT), (310.0, replace(KEPT, hours=None)), (310.0, replace(KEPT, tariff=None))],
)
def test_electricity_that_nobody_can_work_out_is_told_as_not_counted(
    watts: float | None, kept: Keeping
) -> None:
    # 998 + 60 − 377, 998 + 60 − 244, 998 + 60 − 155
    found = owned(998, watts, kept)
    assert found.energy is None
    assert found.whole == Range(low=681, mid=814, high=903)
    assert set(found.swings) == {"resale", "fall"}


def test_a_half_is_rounded_up_in_every_part() -> None:
    # 25 × 0.5 × e^0 = 12.5 → 13; 0.001 kW × 500 h × 1 × 1 = 0.5 → 1; repairs 1 × 0.5 = 0.5 → 1
    kept = Keeping(years=1, repairs_minor=1, resale=(0.5, 0.5), fall=(0, 0), hours=(500, 500), tariff=(1, 1))
    found = owned(25, 1.0, kept)
    assert (found.fetches.mid, found.energy) == (13, Range(low=1, mid=1, high=1))
    assert owned(25, 1.0, replace(kept, years=0.5)).repairs_minor == 1


def test_the_same_spans_hold_for_both_so_a_difference_is_surer_than_either_whole() -> None:
    # Plover 998 at 310 W beside Dunlin 1012 at 260 W. What Dunlin costs more:
    #   of the price   14 × (1 − share × e^(−k·3)): from 14 × (1 − 0.378) = 8.7 to 14 × (1 − 0.156) = 11.8
    #   of electricity −50 W: from −0.05 × 1500 × 3 × 0.36 = −81 to −0.05 × 900 × 3 × 0.28 = −37.8
    #   so from 8.7 − 81 = −72.3 to 11.8 − 37.8 = −26, in the middle 10.6 − 57.6 = −47
    found = apart((1012, 260.0), (998, 310.0), KEPT)
    assert (found.low, found.mid, found.high) == pytest.approx((-72, -47, -26), abs=1)
    each = owned(998, 310.0, KEPT).whole
    assert found.high - found.low < (each.high - each.low) / 5


spans = st.tuples(st.floats(0, 1), st.floats(0, 1)).map(lambda two: (min(two), max(two)))
PRICES, WATTS = st.integers(1, 10**7), st.one_of(st.none(), st.floats(0, 2000))


@st.composite
def keepings(draw: st.DrawFn) -> Keeping:
    def span(most: float) -> tuple[float, float]:
        low, high = draw(spans)
        return low * most, high * most

    return Keeping(
        years=draw(st.floats(0.1, 15)), repairs_minor=draw(st.integers(0, 10**4)), resale=span(1.0),
        fall=span(2.0), hours=draw(st.one_of(st.none(), st.just(span(8760.0)))),
        tariff=draw(st.one_of(st.none(), st.just(span(100.0)))),
    )  # fmt: skip


def amounts_of(found: Owned) -> list[object]:
    ranges = [found.fetches, found.whole, *([found.energy] if found.energy else [])]
    return [
        found.price_minor, found.repairs_minor, *found.swings.values(),
        *(end for each in ranges for end in (each.low, each.mid, each.high)),
    ]  # fmt: skip


@given(PRICES, WATTS, keepings())
def test_money_is_whole_and_the_whole_is_the_sum_of_its_parts(
    price: int, watts: float | None, kept: Keeping
) -> None:
    found = owned(price, watts, kept)
    spent = found.energy or Range(low=0, mid=0, high=0)
    assert all(type(each) is int for each in amounts_of(found))
    assert found.whole.low <= found.whole.mid <= found.whole.high
    assert found.whole.mid == price + spent.mid + found.repairs_minor - found.fetches.mid
    assert found.whole.low == price + spent.low + found.repairs_minor - found.fetches.high
    assert found.whole.high == price + spent.high + found.repairs_minor - found.fetches.low


@given(PRICES, PRICES, WATTS, WATTS, keepings(), st.tuples(*[st.floats(0, 1)] * 4))
def test_a_difference_lies_in_its_range_wherever_in_the_spans_the_truth_lies(
    a: int, b: int, watts_a: float | None, watts_b: float | None, kept: Keeping, at: tuple[float, ...]
) -> None:
    if watts_a is None or watts_b is None:
        watts_a = watts_b = None
    names = ("hours", "tariff", "resale", "fall")
    inside = {
        name: (value := span[0] + share * (span[1] - span[0]), value)
        for name, share in zip(names, at, strict=True)
        if (span := getattr(kept, name)) is not None
    }
    truth = replace(kept, **inside)
    found = apart((a, watts_a), (b, watts_b), kept)
    there = owned(a, watts_a, truth).whole.mid - owned(b, watts_b, truth).whole.mid
    assert found.low - 4 <= there <= found.high + 4  # each of four parts is rounded by itself


@given(keepings())
def test_the_middle_of_a_span_has_no_ends(kept: Keeping) -> None:
    still = settled(kept)
    assert still.resale == (middle(kept.resale),) * 2
    found = owned(100, None, still).whole
    assert found.low == found.mid == found.high == owned(100, None, kept).whole.mid
