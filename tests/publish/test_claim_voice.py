"""Claims are told by names that readers know, rounded as everything is."""

from datetime import date

import pytest
from tests.verdicts.ladder_cases import workshop

from evenhand.publish.claim_voice import claim_voice
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.records.prices import Currency
from evenhand.verdicts.claims import As, Kind, Rung
from evenhand.verdicts.ladder import ladder, standing
from evenhand.verdicts.publishable import publishable, refusals_of

NAMES = Names(
    setups={
        key: SetupName(name=key.title(), slot=i + 1) for i, key in enumerate(("wren", "plover", "dunlin"))
    },
    tests={"causeway": TestName(name="Salt Causeway")},
)
VOICE = claim_voice(NAMES, audiences={"play": "a room that mostly plays"}, currency=Currency(symbol="dl"))


def test_a_rung_is_told_in_whole_per_cent():
    rung = next(answer for answer in ladder(workshop()).rungs if answer.rung is Rung.UNTESTED)
    told = "a title not tested may fall anywhere from −27 to +44\u00a0%, Plover over Dunlin; a forecast needs"
    assert rung.reason.told(VOICE) == f"{told} six tests"


def test_the_audience_and_the_money_are_told_by_name():
    found = standing(Kind.VALUE, workshop())
    assert found.would_stand is not None
    told = found.would_stand.told(VOICE)
    assert told.startswith(
        "For a room that mostly plays, Plover is better value than Dunlin while Plover costs less than 1,0"
    )
    assert told.endswith("\u00a0dl, prices of 24 November 2026.")


def test_a_test_is_told_with_an_interval_to_its_own_digits():
    found = standing(Kind.TEST, workshop(), about="causeway")
    assert found.would_stand is not None
    told = found.would_stand.told(VOICE)
    assert told == "In Salt Causeway, Plover is ahead of Dunlin by 10.7\u00a0% (8.9 to 12.5)."


@pytest.mark.parametrize("pair", [("wren", "plover"), ("wren", "dunlin"), ("plover", "dunlin")])
def test_everything_of_the_workshop_can_be_told(pair):
    made = workshop(*pair)
    for one in (*publishable(made), *refusals_of(made)):
        assert one.said.told(VOICE)
        assert one.standing.reason.told(VOICE)


def test_days_and_measured_numbers():
    assert VOICE[As.DAY]((date(2026, 11, 24), date(2026, 11, 24))) == "24 November 2026"
    assert VOICE[As.DECIBELS]((3.24, 2.31, 4.17)) == "3.2\u00a0dB (2.3 to 4.2)"
    assert VOICE[As.KELVINS]((2.0,)) == "2.0\u00a0K"


def test_days_are_told_in_their_order_each_once() -> None:
    days = (date(2026, 11, 28), date(2026, 11, 24), date(2026, 11, 28))
    assert VOICE[As.DAY](days) == "24 and 28 November 2026"
