"""What parts were offered for, and exchange rates: said on the command line, or brought as a table."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command

TABLE = "Part;Paid;When\nBrellow K6;310,00;2026-05-01\nBrellow K7;90,00;2026-05-01\nk6;305,00;2026-05-02\n"


@pytest.fixture
def priced(stocked: Command) -> Command:
    """The small study, which counts in crowns with two decimals."""
    stocked("price", "wren", "742", "--currency", "cr", "--on", "2026-05-01")
    return stocked


def test_an_offer_is_said_listed_taken_back_and_put_back(priced: Command) -> None:
    said = priced("offer", "k6", "310", "--shipping", "9", "--coupon", "20,50", "--on", "2026-05-01")
    assert "298.50\u00a0cr (310.00\u00a0cr + 9.00\u00a0cr shipping − 20.50\u00a0cr coupon)" in said.out
    assert "was on record before" in priced(
        "offer", "k6", "310", "--shipping", "9", "--coupon", "20,50", "--on", "2026-05-01"
    ).out  # fmt: skip
    listed = priced("offers", "quay", "--json").json
    (offer,) = listed["offers"]
    assert (offer["total"], offer["total_minor"]) == ("298.50", 29850)
    assert listed["parts"]["k6"]["days"] == {"2026-05-01": 29850}
    assert listed["builds"]["wren"]["days"] == {"2026-05-01": 74200}
    assert "No offer is on record." in priced("offers", "quay", "--take-back", "1").out
    assert "298.50" in priced("offers", "quay", "--put-back", "1").out


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("k7", "310"), "no part is called 'k7'"),
        (("k6", "-5"), "'-5' is no amount"),
        (("k6", "310", "--coupon", "310"), "leaves 0.00"),
        (("k6", "310", "--on", "2099-01-01"), "is still to come"),
        (("k6", "310", "--currency", "mk"), "mk is new here"),
    ],
)
def test_what_is_no_offer_is_refused(priced: Command, arguments: tuple[str, ...], told: str) -> None:
    refused = priced("offer", *arguments)
    assert refused.code == 2
    assert told in " ".join(refused.err.split())


def test_an_absurd_amount_is_kept_once_it_is_said_to_be_sure(priced: Command) -> None:
    priced("offer", "k6", "310", "--on", "2026-05-01")
    assert "is that so?" in priced("offer", "k6", "31000", "--on", "2026-05-02").err
    assert priced("offer", "k6", "31000", "--on", "2026-05-02", "--sure").code == 0


def test_a_rate_lets_offers_in_other_currencies_count(priced: Command) -> None:
    priced("offer", "k6", "100", "--currency", "mk", "--decimals", "0", "--on", "2026-05-03")
    assert "Mixed currencies without a rate: one offer is left out, in mk" in priced("offers", "quay").out
    said = priced("rate", "mk", "2.455", "--on", "2026-05-01")
    assert "1\u00a0mk is 2.455\u00a0cr, of 1 May 2026. Rate 1 is on record." in said.out
    assert priced("offers", "quay", "--json").json["parts"]["k6"]["days"] == {"2026-05-03": 24550}
    assert priced("rate", "mk", "0.2").code == 2
    assert "No exchange rate" in priced("rates", "--take-back", "1").out
    assert "2.455" in priced("rates", "--put-back", "1").out


def test_a_table_is_told_first_and_kept_once_it_is_confirmed(priced: Command, tmp_path: Path) -> None:
    table, left = tmp_path / "list.csv", tmp_path / "left.csv"
    table.write_text(TABLE, encoding="utf-8")
    told = priced("offers", "quay", "--file", table)
    assert told.code == 1  # one row cannot be
    assert "2 of 3 rows are new. Nothing is kept yet" in told.out
    assert "line 3: no part is called 'Brellow K7'" in told.out
    assert priced("offers", "quay", "--json").json["offers"] == []
    kept = priced("offers", "quay", "--file", table, "--confirm", "--refused", left, "--json").json["table"]
    assert (kept["new"], kept["kept"], kept["decimal"]) == (2, 2, ",")
    assert [each["is"] for each in kept["columns"]] == ["part", "item", "day"]
    assert left.read_text(encoding="utf-8").splitlines()[1].startswith('3;"no part is called')
    again = priced("offers", "quay", "--file", table, "--confirm", "--json").json["table"]
    assert (again["kept"], again["on_record_before"]) == (0, 2)


def test_columns_are_named_by_hand(priced: Command, tmp_path: Path) -> None:
    table = tmp_path / "list.csv"
    table.write_text("Old,New\n400,310\n", encoding="utf-8")
    said = ("--part", "k6", "--day", "2026-05-01", "--column", "Old=", "--column", "New=item")
    kept = priced("offers", "quay", "--file", table, *said, "--confirm", "--json").json["table"]
    assert [each["is"] for each in kept["columns"]] == [None, "item"]
    for wrong in ("Newer=item", "New=cost", "New"):
        assert priced("offers", "quay", "--file", table, "--column", wrong).code == 2
    assert priced("offers", "quay", "--file", tmp_path / "none.csv").code == 2
    assert priced("offers", "quay", "--column", "New=item").code == 2
