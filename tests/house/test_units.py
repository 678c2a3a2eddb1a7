"""The unit table: exact symbols, common spellings, headers, and known conversions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.errors import BadRecord
from evenhand.units import OWN_UNITS, SPELLINGS, UNITS, find_unit, unit, unit_in_header


@given(text=st.text(max_size=20))
def test_any_header_at_all_gives_a_unit_of_the_table_or_none(text):
    found = unit_in_header(text)
    assert found is None or found is UNITS[found.symbol]


@pytest.mark.parametrize("quantity", sorted({u.quantity for u in UNITS.values()}))
def test_every_quantity_has_one_own_unit_that_changes_nothing(quantity):
    own = UNITS[OWN_UNITS[quantity]]
    assert (own.quantity, own.factor, own.offset) == (quantity, 1.0, 0.0)


@pytest.mark.parametrize("spelling", sorted(SPELLINGS))
def test_every_spelling_leads_to_a_unit_of_the_table(spelling):
    assert find_unit(spelling.upper()) is UNITS[SPELLINGS[spelling]]


@pytest.mark.parametrize(
    ("symbol", "value", "own"),
    [
        ("us", 16667.0, 0.016667),
        ("ns", 5e8, 0.5),
        ("GHz", 4.7, 4700.0),
        ("°F", 212.0, 100.0),
        ("K", 273.15, 0.0),
        ("GiB", 2.0, 2048.0),
        ("1/h", 3600.0, 1.0),
    ],
)
def test_known_conversions(symbol, value, own):
    given = unit(symbol)
    assert value * given.factor + given.offset == pytest.approx(own, abs=1e-9)


@pytest.mark.parametrize(
    ("header", "symbol"),
    [
        ("frame [ms]", "ms"),
        ("frame(µs)", "us"),
        ("elapsed_s", "s"),
        ("board power [W]", "W"),
        ("package {°C}", "°C"),
        ("load %", "%"),
        (" time <ns> ", "ns"),
    ],
)
def test_headers_carry_units(header, symbol):
    found = unit_in_header(header)
    assert found is not None
    assert found.symbol == symbol


@pytest.mark.parametrize("header", ["bodies", "frame", "", "[ ]", "n", "column 1"])
def test_headers_without_a_unit_give_none(header):
    assert unit_in_header(header) is None


def test_milliwatt_and_megawatt_do_not_meet_by_case():
    assert unit("mW").factor == pytest.approx(1e-3)
    assert find_unit("Mw") is UNITS["mW"]  # the only unit that folds to it; MW is not in the table


def test_an_unknown_unit_names_the_nearest_one():
    with pytest.raises(BadRecord, match=r"'secnd' is not a unit.*did you mean 'second'"):
        unit("secnd")
