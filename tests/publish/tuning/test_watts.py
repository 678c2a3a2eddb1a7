"""What a tuned part draws in words: bands, what is lacking, and no claim past the band."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.publish.tuning.quoted import figure_words
from evenhand.publish.tuning.watts import (
    band_words,
    best_words,
    elasticity_words,
    lack_words,
    law_words,
    lawful_words,
    left_words,
    only_words,
    share_words,
)
from evenhand.records.trials import Meter
from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.efficiency import Efficient
from evenhand.tuning.figured import Of, TunedFigure
from evenhand.tuning.metered import Lack, Metered
from evenhand.tuning.watts import Drawn, Leaks


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def band(value: float, half: float) -> Band:
    return Band(value=value, low=value - half, high=value + half)


def efficient(gain: Band, *, rate: float = 1.0, end: bool = False, clocks: Band | None = None) -> Efficient:
    return Efficient(clock_mhz=clocks or band(4550.0, 0.0), gain=gain, rate=band(rate, 0.004), at_an_end=end)


def best(found: Efficient) -> str:
    end = "lowest" if found.at_an_end else ""
    return plain(" ".join(best_words(found, "4,550 MHz at 1,140 mV", Meter.PART, end=end)))


def spread(of_c: float) -> Floats:
    """Draws about C = 12 nF and L = 20 W."""
    z = np.random.default_rng(1).standard_normal((2000, 4))
    found: Floats = np.array([12.0, 20.0, 2.0, 0.008]) + z * [of_c, 1.0, 0.1, 0.001]
    return found


def power(**more: object) -> Drawn:
    told: dict[str, object] = {
        "leaks": Leaks.EXPONENTIAL, "sure": False, "values": np.array([12.0, 20.0, 2.0, 0.008]),
        "draws": spread(0.1), "scatter": 0.01, "middle_v": 1.1,
        "middle_c": 70.0, "volts_told": True, "heat_told": False,
    }  # fmt: skip
    return Drawn(**{**told, **more})  # type: ignore[arg-type]


def read(**more: object) -> Metered:
    return Metered(**{"meter": Meter.WALL, "trials": (), "warm": True, "span": 1.8, **more})  # type: ignore[arg-type]


def test_watts_are_written_to_a_tenth_everywhere_however_narrow_their_interval() -> None:
    narrow = Band(value=152.588, low=152.28, high=152.98)
    assert band_words(narrow, "W") == "152.6\u00a0W (152.3 to 153.0)" == lawful_words(narrow, narrow)[0]
    figure = TunedFigure(
        of=Of.DRAW, setup="wren", part="graphics", value=152.588, low=152.28, high=152.98, unit="W",
    )  # fmt: skip
    assert figure_words(figure)[1] == "152.6\u00a0W (152.3 to 153.0)"


def test_a_gain_is_told_with_its_band_and_the_meter() -> None:
    said = best(efficient(band(1.04, 0.01), rate=0.98))
    assert "4,550 MHz at 1,140 mV does the most work for a joule, by watts at the part" in said
    assert "+4.0 % (+3.0 to +5.0) over stock." in said
    assert "It works 2.0 % (1.6 to 2.4) slower there." in said


def test_a_gain_that_may_be_none_is_said_to_be_so() -> None:
    assert "+1.0 % (−1.0 to +3.0) over stock, which these trials do not tell from none." in best(
        efficient(band(1.01, 0.02))
    )


def test_where_stock_is_best_it_says_so() -> None:
    said = best(efficient(band(0.98, 0.01), end=True))
    assert said.startswith("No clock with an advised voltage does more work for a joule than stock does")
    assert "does 2.0 % (1.0 to 3.0) less." in said
    assert "It is the lowest of these clocks: a lower one may do better still." in said


def test_clocks_that_are_not_told_apart_are_left_open() -> None:
    open_ = efficient(band(1.04, 0.01), clocks=Band(value=4550.0, low=4500.0, high=4650.0))
    assert "The trials leave open which it is, from 4,500 MHz to 4,650 MHz." in best(open_)


def test_watts_are_never_told_below_none() -> None:
    assert plain(band_words(band(5.0, 20.0), "W")) == "5 W (0 to 25)"


@pytest.mark.parametrize(
    ("about", "told"),
    [
        (
            {"lack": Lack.FEW, "points": 3},
            "Three points with watts at the wall can be used, and four that",
        ),
        ({"lack": Lack.ALIKE, "span": 1.04}, "their V²·f differs by 4 %, and 10 % are needed"),
        ({"lack": Lack.OFFSETS}, "its voltage at stock is not noted"),
        ({"lack": Lack.LEFT_ALONE}, "The voltage of this part is left alone"),
    ],
)
def test_what_is_lacking_is_said_with_what_to_do(about: dict[str, object], told: str) -> None:
    said = plain(lack_words(read(**about)))
    assert told in said
    assert said.endswith(("more trials.", "voltage, too.", "Note it.", "each trial."))


def test_what_was_left_out_is_counted_in_words() -> None:
    assert plain(left_words(read(left=1, unread=2))) == (
        " Left out: one trial that was throttled or ran less than three minutes; two trials without a "
        "temperature, which others have."
    )
    assert left_words(read()) == ""


@pytest.mark.parametrize(
    ("about", "told"),
    [
        ({}, "tell no form from another. How fast it grows with voltage they tell; with temperature"),
        ({"sure": True, "leaks": Leaks.LINEAR, "heat_told": True},
         "in a straight line; another form fits worse. How fast it grows with voltage and with temperature"),
        ({"volts_told": False}, "how fast it grows is what is believed of any part"),
    ],
)  # fmt: skip
def test_how_leakage_grows_is_told_only_as_far_as_trials_tell(about: dict[str, object], told: str) -> None:
    assert told in list(law_words(read(), power(**about)))[-1]


def test_parts_of_a_sum_that_are_hardly_told_are_said_to_be_so() -> None:
    wide = power(draws=spread(3.0))
    assert any("their sum is known well and its parts hardly" in said for said in law_words(read(), wide))
    assert not any("hardly" in said for said in law_words(read(), power()))


def test_what_is_taken_of_work_says_whether_a_test_told_it() -> None:
    taken = plain(elasticity_words(Known(value=1.0), 0, cooled=False))
    assert "no test here was run at two clocks of this part" in taken
    measured = plain(elasticity_words(Known(value=0.6, sd=0.05), 5, cooled=True))
    assert "0.60 (0.50 to 0.70) of it, as five tests did on average; more watts make it warmer" in measured


@pytest.mark.parametrize(
    ("gain", "told"),
    [
        (
            band(1.1, 0.02),
            "does 10.0 % (8.0 to 12.0) more work for a joule than stock, by watts at the part.",
        ),
        (
            band(0.9, 0.02),
            "does 10.0 % (8.0 to 12.0) less work for a joule than stock, by watts at the part.",
        ),
        (band(1.01, 0.02), "does as much work for a joule as stock, by watts at the part, as far as these"),
    ],
)
def test_the_only_clock_is_held_against_stock_alone(gain: Band, told: str) -> None:
    assert told in plain(only_words(efficient(gain), "4,550 MHz at 1,140 mV", Meter.PART))


def test_a_share_that_may_be_anything_is_not_told() -> None:
    assert plain(share_words("Stock", band(168.0, 2.0), band(79.0, 79.0))) == (
        "By the law of these trials, Stock takes 168.0 W (166.0 to 170.0); "
        "how much of it switches is not told."
    )
    warm = plain(share_words("Stock", band(92.3, 0.5), band(74.0, 20.0), warm_c=68.7))
    assert "takes 92.3 W (91.8 to 92.8) at 69 °C, of which switching takes 74 W" in warm
