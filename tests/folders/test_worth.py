"""What a study file says of audiences, prices and sound: read as written, or refused with every reason."""

from __future__ import annotations

from datetime import date

import pytest
from tests.folders.test_reading import SOUND as STUDY
from tests.folders.test_reading import read, refused

from evenhand.folders.study_folder import StudyFolder
from evenhand.records.audiences import Audience, Property
from evenhand.records.prices import Currency, Price

MONEY = 'currency = { symbol = "dl", decimals = 0 }'
AUDIENCE = """
[[study.audiences]]
key = "edit"
name = "Mostly editing"
tests = { export = 80, causeway = 20 }
properties = { speed = 3, price = 1 }
fixed = "250"
"""
PRICE = """
[[prices]]
build = "plover"
price = "1,012"
on = 2031-05-04
note = "counter"
"""
READING = """
[[sound]]
setup = "wren-mild"
level_db = 38.5
background_db = 27.0
"""


def with_money(more: str) -> str:
    return STUDY.replace("ambient_c", f"{MONEY}\nambient_c", 1) + more


def whole() -> StudyFolder:
    return read(with_money(AUDIENCE + PRICE + READING))


def test_an_audience_is_read_as_written() -> None:
    assert whole().study.audiences == (
        Audience(
            key="edit", name="Mostly editing", tests={"export": 80.0, "causeway": 20.0},
            properties={Property.SPEED: 3.0, Property.PRICE: 1.0}, fixed_minor=250,
        ),
    )  # fmt: skip


def test_prices_are_whole_smallest_units_of_the_study_or_of_their_own_currency() -> None:
    drell = Currency(symbol="dl", decimals=0)
    assert whole().prices == (
        Price(build="plover", minor=1012, currency=drell, on=date(2031, 5, 4), note="counter"),
    )
    crowns = PRICE.replace('note = "counter"', 'currency = { symbol = "cr" }')
    (price,) = read(with_money(crowns)).prices
    assert (price.minor, price.currency) == (101200, Currency(symbol="cr", decimals=2))


def test_a_reading_is_of_an_idle_machine_unless_it_names_a_test() -> None:
    (reading,) = whole().sound
    assert (reading.test, reading.level_db, reading.background_db) == ("", 38.5, 27.0)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("export = 80", "exprt = 80", "no test 'exprt'; did you mean 'export'?"),
        ("tests = {", "groups = { games = 1 }\ntests = {", "give a test of the study a group"),
        ("export = 80, causeway = 20", "export = 0", "no group of this audience has a weight above 0"),
        ("speed = 3, price = 1", "speed = 0", "no property has a weight above 0"),
        ("speed = 3", "sped = 3", "did you mean 'speed'?"),
        ("export = 80", "export = -1", "greater than or equal to 0"),
        ('"250"', '"250.50"', "dl has no decimals"),
        ('"250"', "250.5", "write it in quotes"),
        ('build = "plover"', 'build = "plovr"', "did you mean 'plover'?"),
        ('"1,012"', '"dear"', "'dear' is no amount"),
        ("on = 2031-05-04", 'on = "2031-05-04"', "write it without quotes"),
        ('setup = "wren-mild"\nlevel', 'setup = "wren"\nlevel', "'wren' is not a setup of this file"),
        ("background_db = 27.0", "background_db = 40.0", "see whether the two are swapped"),
        ("background_db = 27.0", 'test = "exprt"', "did you mean 'export'?"),
        (MONEY, "", "the study says no currency"),
        ('symbol = "dl"', 'symbol = "1"', "symbol"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_told_with_its_place(old: str, new: str, said: str) -> None:
    text = with_money(AUDIENCE + PRICE + READING)
    assert old in text
    assert said in refused(text.replace(old, new, 1))


def test_two_audiences_need_two_keys() -> None:
    assert "the key 'edit' is taken" in refused(with_money(AUDIENCE * 2))
