"""What is said of a part's heat: the room, the power, how far below the limit, never more than is known."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest

from evenhand.errors import NotEnoughRuns
from evenhand.publish.tuning import heat as words
from evenhand.records.trials import Limit, Quantity
from evenhand.triage.kinds.throttling import Fall
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.heat_doubts import Doubt, Held
from evenhand.tuning.heat_outlook import HeatOutlook, Under
from evenhand.tuning.throttled import Throttled

LIMIT = Limit(quantity=Quantity.TEMPERATURE, most=95.0, source="data sheet", read_on=date(2031, 5, 2))


def band(low: float, value: float, high: float) -> Band:
    return Band(value=value, low=low, high=high)


FOUND = HeatOutlook(
    watts=142.0, rest_w=31.0, room_c=30.0, steady=band(78.6, 81.0, 83.4), limit=LIMIT,
    headroom=band(11.6, 14.0, 16.4), at_limit_w=band(175.0, 180.0, 185.0),
    at_limit_room_c=band(41.6, 44.0, 46.4),
)  # fmt: skip
FELL = Throttled(
    fall=Fall(about="part", load="", log_ratio=-0.1, from_mhz=4500, to_mhz=4000, begins_s=600, ends_s=900),
    temperature_c=94.6, watts=150.0,
)  # fmt: skip


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_it_opens_with_room_power_where_it_settles_and_what_is_left() -> None:
    said = plain(words.settles_words(FOUND))
    assert said == (
        "In a room of 30 °C at 142 W it settles at 81 °C (79 to 83), "
        "12 to 16 below the maker's limit of 95 °C."
    )


@pytest.mark.parametrize(
    ("left", "told"),
    [
        (
            band(-16.0, -14.0, -12.0),
            "12 to 16 above the maker's limit of 95 °C: it would be slowed, or harmed",
        ),
        (band(-1.0, 2.0, 5.0), "near the maker's limit of 95 °C, which it may pass"),
        (band(13.9, 14.0, 14.1), ", 14 below the maker's limit of 95 °C"),
    ],
)
def test_past_a_limit_and_near_it_is_said_as_such(left: Band, told: str) -> None:
    assert told in plain(words.settles_words(replace(FOUND, headroom=left)))


def test_what_lies_past_the_limit_would_settle_there() -> None:
    said = words.settles_words(replace(FOUND, headroom=band(-16.0, -14.0, -12.0)))
    assert "it would settle at" in said


def test_without_a_limit_it_says_that_nothing_is_said() -> None:
    said = words.settles_words(replace(FOUND, limit=None, headroom=None))
    assert "no limit of its temperature by the maker is noted" in said


def test_a_room_that_nobody_read_is_not_named() -> None:
    said = words.settles_words(replace(FOUND, room_c=None))
    assert said.startswith("In the room of the log, which nobody read,")


def test_what_leads_to_the_limit_and_whether_it_gets_there() -> None:
    said = [plain(each) for each in words.outlook_sentences(FOUND)]
    assert said[0] == (
        "It would settle at the limit at 180 W (175 to 185) in this room, "
        "or at 142 W in one of 44 °C (42 to 46)."
    )
    assert said[1] == "From 31 W at rest it does not get there at 142 W."
    hot = replace(FOUND, reached_s=band(300.0, 348.0, math.inf))
    assert "after 5.8 min" not in plain(list(words.outlook_sentences(hot))[1])
    assert "after 6 min (5 min or longer) of 142 W" in plain(list(words.outlook_sentences(hot))[1])
    never = replace(FOUND, reached_s=band(3000.0, math.inf, math.inf))
    assert "most likely does not get there" in list(words.outlook_sentences(never))[1]


def test_another_cooler_is_told_with_its_doubt_and_why_it_is_not() -> None:
    under = Under(
        c_per_w=Known(value=0.26, sd=0.02),
        own=Known(value=0.15, sd=0.02),
        instead_of=band(0.33, 0.34, 0.35),
        steady=band(61.0, 67.0, 73.0),
        headroom=band(22, 28, 34),
    )
    *_, said, replaced = map(plain, words.outlook_sentences(replace(FOUND, under=under)))
    assert replaced.startswith(
        "Its 0.15 °C/W stand in place of the whole stage of 0.340 °C/W (0.330 to 0.350)"
    )
    assert "warmer by what lies beneath" in replaced
    assert said.startswith(
        "Under the other cooler, 0.26 °C/W (0.22 to 0.30) in all, it settles at 67 °C (61 to 73)"
    )
    refused = replace(FOUND, no_cooler=NotEnoughRuns("the log shows one stage", todo="hold it longer"))
    assert list(words.outlook_sentences(refused))[-1] == "The log shows one stage; hold it longer."


def test_a_limit_of_one_s_own_is_told_as_such_and_harms_nothing() -> None:
    own = replace(LIMIT, source="ourselves: it keeps quiet")
    over = replace(FOUND, limit=own, headroom=band(-16.0, -14.0, -12.0))
    assert plain(words.settles_words(over)).endswith("12 to 16 above our own limit of 95 °C.")
    assert "at our own limit of 95 °C" in plain(words.fell_words(FELL, own))


def test_a_clock_that_fell_is_told_with_its_distance_from_the_limit() -> None:
    assert plain(words.fell_words(FELL, LIMIT)) == (
        "In the log its clock fell from 4,500 MHz to 4,000 MHz after 10 min, at 95 °C and at 150 W: "
        "at the maker's limit of 95 °C."
    )
    cool = replace(FELL, temperature_c=71.0)
    assert "24 K below the maker's limit of 95 °C, so that something else" in plain(
        words.fell_words(cool, LIMIT)
    )
    assert plain(words.fell_words(cool, None)).endswith("at 71 °C and at 150 W.")


def test_whether_it_was_held_long_enough() -> None:
    assert "long enough to call it steady" in words.held_words(Held(longest_s=2400, needed_s=2100))
    assert "may it be called steady" in words.held_words(Held(longest_s=1200, needed_s=2100))


def test_titles_grow_shorter_and_all_name_the_power() -> None:
    titles = words.short_titles(FOUND)
    assert [len(each) for each in titles] == sorted(map(len, titles), reverse=True)
    assert all("142\u00a0W" in each for each in titles)


@pytest.mark.parametrize("doubt", Doubt)
def test_every_doubt_is_a_sentence(doubt: Doubt) -> None:
    said = words.doubt_words(doubt)
    assert said[0].isupper()
    assert said.endswith(".")
    assert not said.endswith("..")


def test_another_cooler_without_a_doubt_is_told_as_taken_for_exact() -> None:
    own = Known(value=0.10, sd=0.0)
    under = Under(c_per_w=Known(value=0.25, sd=0.002), own=own, instead_of=band(0.33, 0.34, 0.35),
                  steady=band(58.0, 58.4, 59.0))  # fmt: skip
    doubtful = replace(under, own=replace(own, sd=0.02))
    bare, told = (plain(list(words.outlook_sentences(replace(FOUND, under=each)))[-1])
                  for each in (under, doubtful))  # fmt: skip
    assert bare.endswith(
        "They are taken as exact, so that the range is too narrow: say how far off they may be."
    )
    assert "exact" not in told
