"""The picture of a price over time: steps, gaps left open, the median, and all of it in words."""

from __future__ import annotations

from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from evenhand.money.price_days import Stand, Standing, Usual, standing, usual
from evenhand.publish.figures.price_history import RIGHT, History, price_history
from evenhand.publish.palette import slot
from evenhand.publish.price_words import standing_words, usual_words
from evenhand.records.prices import Currency

DAY = date(2031, 5, 4)
DRELL = Currency(symbol="dl", decimals=0)


def history(looks: dict[int, int], **more: object) -> History:
    days = {DAY - timedelta(days=ago): minor for ago, minor in looks.items()}
    told = {"usual": usual(days, on=DAY), "slot": slot(2), **more}
    return History(name="Plover", days=days, until=DAY, currency=DRELL, **told)  # type: ignore[arg-type]


def lines(looks: dict[int, int], kind: str) -> list[dict[str, str]]:
    picture = price_history(history(looks))
    assert picture is not None
    return [e.attrib for e in ElementTree.fromstring(picture.svg).iter("line") if e.get("class") == kind]


def test_a_step_reaches_to_the_next_day_and_a_gap_stays_open() -> None:
    drawn = lines({80: 998, 74: 1022, 20: 1044, 0: 998}, "step b2")
    across = [(float(e["x1"][:-1]), float(e["x2"][:-1])) for e in drawn if e["y1"] == e["y2"]]
    days = [9, 15, 15, 30, 69, 84, 89, 90]
    assert [end for step in across for end in step] == pytest.approx([d * RIGHT / 90 for d in days], abs=0.01)
    assert len([e for e in drawn if e["x1"] == e["x2"]]) == 1  # only the first two are joined


def test_what_is_usual_stands_over_thirty_days() -> None:
    (line,) = lines({80: 998, 0: 1010}, "post")
    assert [float(line[end][:-1]) for end in ("x1", "x2")] == pytest.approx(
        [RIGHT * 60 / 90, RIGHT], abs=0.01
    )
    assert lines({80: 998}, "post") == []


def test_it_is_told_in_words() -> None:
    picture = price_history(history({80: 998, 74: 1022, 0: 1001}))
    assert picture is not None
    assert picture.title == "What Plover cost"
    assert picture.description.replace("\u00a0", " ") == (
        "From 998 dl on 13 February 2031 to 1,001 dl on 4 May 2031, between 998 and 1,022 dl, looked up on "
        "three days of 90. Usual over 30 days: 1,001 dl."
    )


def test_a_single_price_and_prices_all_alike_are_drawn_and_none_is_not() -> None:
    assert price_history(history({0: 998})) is not None
    assert price_history(history({9: 998, 0: 998}, slot=None)) is not None
    assert price_history(history({95: 998})) is None


@pytest.mark.parametrize(
    ("looks", "stand", "said"),
    [
        (
            {n: 1000 + n for n in range(1, 11)},
            Stand.LOW,
            "That is a low price: it was lower on none of 10 days",
        ),
        (
            {n: 900 + n for n in range(1, 11)},
            Stand.HIGH,
            "That is a high price: it was lower on 10 of 10 days",
        ),
        (
            {n: 990 + 2 * n for n in range(1, 11)},
            Stand.USUAL,
            "That is a usual price: it was lower on 4 of 10",
        ),
        ({1: 990}, Stand.UNKNOWN, "is not known: of the 90 days before, one day has one, and 8 are needed."),
    ],
)
def test_how_a_price_stands_is_a_sentence(looks: dict[int, int], stand: Stand, said: str) -> None:
    found = standing(1000, {DAY - timedelta(days=ago): minor for ago, minor in looks.items()}, on=DAY)
    assert found.stand is stand
    assert said in standing_words(found, DRELL)


def test_prices_that_never_moved_and_days_without_any_are_told() -> None:
    never = Standing(stand=Stand.USUAL, days=9, lower=0, least=998, most=998)
    assert standing_words(never, DRELL).endswith("9 days before, 998\u00a0dl.")
    assert "no day has one" in standing_words(Standing(stand=Stand.UNKNOWN, days=0, lower=0), DRELL)
    assert "nothing is usual" in usual_words(None, DRELL)
    assert "the median of one day" in usual_words(Usual(minor=9, days=1), DRELL)
