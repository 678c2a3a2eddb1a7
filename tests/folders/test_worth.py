"""What a study file says of audiences, prices and sound: read as written, or refused with every reason."""

from __future__ import annotations

from datetime import date

import pytest
from tests.folders.test_reading import SOUND as STUDY
from tests.folders.test_reading import read, refused

from evenhand.folders.study_folder import StudyFolder
from evenhand.records.audiences import Audience, Property
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency, Price

MONEY = 'currency = { symbol = "dl", decimals = 0 }'
AUDIENCE = """
[[study.audiences]]
key = "edit"
name = "Mostly editing"
tests = { export = 80, causeway = 20 }
properties = { speed = 3, price = 1 }
fixed = "250"
hours_a_year = [900, 1500]
tariff = ["0.28", "0,36"]
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
            hours_a_year=(900.0, 1500.0), tariff_minor=("0.28", "0.36"),
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
        ("[900, 1500]", "[1500, 900]", "write the lower one first"),
        ("[900, 1500]", "[0, 900]", "greater than 0"),
        ("[900, 1500]", "[900, 9000]", "less than or equal to 8784"),
        ("[900, 1500]", "[900]", "write two"),
        ('["0.28", "0,36"]', '["0.36", "0.28"]', "write the lower one first"),
        ('["0.28", "0,36"]', '"dear"', "'dear' is no amount"),
        ('["0.28", "0,36"]', '"-0.3"', "'-0.3' is no amount"),
        ('["0.28", "0,36"]', "0.3", "write it in quotes"),
        ('symbol = "dl"', 'symbol = "1"', "symbol"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_told_with_its_place(old: str, new: str, said: str) -> None:
    text = with_money(AUDIENCE + PRICE + READING)
    assert old in text
    assert said in refused(text.replace(old, new, 1))


def test_hours_and_tariff_may_be_one_number_each() -> None:
    alike = AUDIENCE.replace("[900, 1500]", "1000").replace('["0.28", "0,36"]', '"0.3"')
    (audience,) = read(with_money(alike)).study.audiences
    assert (audience.hours_a_year, audience.tariff_minor) == ((1000.0, 1000.0), ("0.3", "0.3"))


def test_a_tariff_is_kept_in_smallest_units_to_the_last_digit() -> None:
    crowns = with_money(AUDIENCE.replace('"250"', '"250.50"')).replace("decimals = 0", "decimals = 2")
    (audience,) = read(crowns).study.audiences
    assert audience.tariff_minor == ("28", "36")
    finer = crowns.replace('"0.28"', '"0.281375"')
    assert read(finer).study.audiences[0].tariff_minor == ("28.1375", "36")


TERMS = """
[study.money]
years = 4
repairs = "20"
resale = [0.55, 0.75]
fall = [0.25, 0.4]
cash = "150"
saved = "15"
budget = "1,000"
"""


def test_what_is_assumed_of_money_is_read_as_written() -> None:
    assert read(with_money(TERMS)).study.money == MoneyTerms(
        years=4.0, repairs_minor=20, resale=(0.55, 0.75), fall=(0.25, 0.4), horizon_months=36,
        cash_minor=150, saved_minor=15, budget_minor=1000,
    )  # fmt: skip
    assert read(with_money("[study.money]\n")).study.money == MoneyTerms()
    assert read(with_money("")).study.money is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("years = 4", "years = 0", "greater than 0"),
        ("years = 4", "years = 40", "less than or equal to 20"),
        ("[0.55, 0.75]", "[0.75, 0.55]", "write the lower one first"),
        ("[0.55, 0.75]", "[55, 75]", "it is a share: 55 % is written 0.55"),
        ("[0.25, 0.4]", "[-0.1, 0.4]", "greater than or equal to 0"),
        ('"20"', '"-20"', "'-20' is no amount"),
        ('"1,000"', '"1,000.50"', "dl has no decimals"),
        ("saved", "savd", "did you mean 'saved'?"),
        (MONEY, "", "the study says no currency"),
    ],
)
def test_what_cannot_be_assumed_is_told_with_its_place(old: str, new: str, said: str) -> None:
    text = with_money(TERMS)
    assert old in text
    assert said in refused(text.replace(old, new, 1))


def test_two_audiences_need_two_keys() -> None:
    assert "the key 'edit' is taken" in refused(with_money(AUDIENCE * 2))
