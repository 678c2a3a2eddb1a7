"""For whom, at what price and how loud: said on the command line, and taken back there."""

from __future__ import annotations

import pytest
from tests.cli.conftest import Command

PLAY = ("audience", "quay", "play", "--name", "Mostly play", "--group", "games=80", "--test", "render=20")


def test_an_audience_is_said_and_told_with_its_shares(stocked: Command) -> None:
    said = stocked(*PLAY)
    assert said.code == 0
    assert "games 80\u00a0%, render 20\u00a0%" in said.out
    assert stocked("audience", "quay", "play", "--json").json["shares"]["groups"] == {"games": 0.8}


def test_what_is_not_given_stays(stocked: Command) -> None:
    stocked(*PLAY)
    told = stocked("audience", "quay", "play", "--property", "speed=3", "--property", "lows=1", "--json").json
    assert told["audience"]["groups"] == {"games": 80.0}
    assert told["shares"]["properties"] == {"speed": 0.75, "lows": 0.25}
    assert told["rescaled"] == {"properties": "rescaled from 3 and 1, which add up to 4"}


def test_weights_that_do_not_add_up_are_told_as_rescaled_where_given_and_where_judged(
    stocked: Command,
) -> None:
    words = "rescaled from 0.5 and 0.2, which add up to 0.7"
    given = ("--name", "Mostly play", "--group", "games=0.5", "--test", "render=0.2")
    assert words in stocked("audience", "quay", "play", *given).out
    assert words in stocked("verdict", "quay").out
    (judged,) = stocked("verdict", "quay", "--json").json["audiences"]
    assert judged["rescaled"] == {"tests": words}


def test_hours_and_tariff_are_said_as_spans_and_taken_away_with_0(stocked: Command) -> None:
    stocked(*PLAY)
    stocked("price", "wren", "742", "--currency", "cr")
    said = stocked("audience", "quay", "play", "--hours", "900..1500", "--tariff", "0.315").out
    assert "hours a year at this load: 900 to 1500" in said
    assert "a kilowatt-hour: 0.315" in said
    told = stocked("audience", "quay", "play", "--hours", "0", "--json").json["audience"]
    assert (told["hours_a_year"], told["tariff"]) == (None, "0.315")


def test_an_audience_is_taken_out(stocked: Command) -> None:
    stocked(*PLAY)
    assert "play is out of quay" in stocked("audience", "quay", "play", "--remove").out
    assert stocked("audience", "quay", "play").code == 2


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("audience", "quay", "play", "--group", "games"), "is not NAME=NUMBER"),
        (("audience", "quay", "play", "--name", "Play", "--group", "games=-1"), "must be 0 or more"),
        (("audience", "quay", "play", "--remove", "--name", "Play"), "give nothing else with it"),
        (("audience", "quay", "play", "--hours", "many"), "'many' is not LOW..HIGH"),
        (("audience", "quay", "play", "--tariff", "1..2..3"), "is not LOW..HIGH, as in 0.28..0.36"),
        (
            ("audience", "quay", "play", "--name", "P", "--group", "games=1", "--hours", "9..1"),
            "lower one first",
        ),
        (("audience", "quay", "play", "--name", "P", "--group", "games=1", "--tariff", "1"), "no currency"),
        (("price", "wren", "742"), "no study of it says a currency"),
        (("price", "wren", "742", "--currency", "1"), "none of them a digit"),
        (("sound", "quay", "wren", "--background", "27"), "needs its --level"),
        (("sound", "quay", "wren", "--level", "20", "--background", "27"), "louder than the 20 dB read"),
        (("prices", "quay", "--take-back", "7"), "there is no price 7"),
        (("price", "wren", "742", "--decimals", "0"), "--decimals goes with --currency"),
        (("price", "wren", "742", "--currency", "dl", "--on", "May"), "'May' is no day"),
        (("price", "wren", "-5", "--currency", "dl"), "'-5' is no amount"),
        (("sound", "quay", "wren", "--level", "38", "--weighting", "Q"), "'Q' is no filter"),
        (("sound", "quay", "wren", "--level", "38", "--weighting", "Q"), "write A, C or Z"),
        (("sound", "quay", "wren", "--level", "-5"), "greater than or equal to 0"),
        (("sound", "quay", "wren", "--level", "38", "--at", "noon"), "'noon' is no moment"),
    ],
)
def test_what_cannot_be_used_is_refused_in_words(
    stocked: Command, arguments: tuple[str, ...], said: str
) -> None:
    answer = stocked(*arguments)
    assert answer.code == 2
    assert said in answer.err


def test_a_price_in_another_currency_is_told_as_one_that_does_not_count(stocked: Command) -> None:
    stocked("price", "wren", "742", "--currency", "dl", "--decimals", "0")
    said = stocked("price", "wren", "700", "--currency", "cr")
    assert "quay counts in dl: this price does not count there." in said.out
    assert "does not count" not in stocked("price", "wren", "700", "--currency", "dl", "--decimals", "0").out


def test_a_price_is_said_listed_taken_back_and_put_back(stocked: Command) -> None:
    said = stocked("price", "wren", "742", "--currency", "dl", "--decimals", "0", "--on", "2031-05-04")
    assert "742\u00a0dl, asked on 4 May 2031" in said.out
    assert "quay counts in dl from now on." in said.out
    assert "Plover: No price is on record" in stocked("prices", "quay").out
    assert stocked("prices", "quay", "--json").json["counts"] == {"wren": 1}
    assert stocked("prices", "quay", "--take-back", "1", "--json").json["prices"] == []
    assert "price 1 was taken back before" in stocked("prices", "quay", "--take-back", "1").err
    assert len(stocked("prices", "quay", "--put-back", "1", "--json").json["prices"]) == 1


def test_a_reading_close_to_the_room_says_so_and_is_taken_back(stocked: Command) -> None:
    said = stocked("sound", "quay", "wren", "--level", "29", "--background", "28", "--hot", "processor=70")
    assert "Only 1.0\u00a0dB over the room" in said.out
    wrong = stocked("sound", "quay", "plover", "--take-back", "1")
    assert (wrong.code, "reading 1 is beside wren" in wrong.err) == (2, True)
    assert stocked("sound", "quay", "wren", "--take-back", "1", "--json").json["readings"] == []
    assert "No reading of wren" in stocked("sound", "quay", "wren").out


def test_a_reading_from_another_distance_is_told_as_it_comes_in(stocked: Command) -> None:
    read = ("sound", "quay", "wren", "--level", "38", "--background", "26", "--distance")
    assert "is on record." in stocked(*read, "0.6").out
    assert "Read from 2\u00a0m, the others from 0.6\u00a0m: distance alone" in stocked(*read, "2").out
