"""docs/formats-snapshot.md tells every key of a snapshot, and every key of its rows that it spells out."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import NOW
from tests.desk.tuning.small_chip import lay_part, tried, walked

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.editions.snapshot import as_text
from evenhand.records.offers import Offer
from evenhand.records.prices import Price
from evenhand.store.offers import add_offers
from evenhand.store.prices import add_price
from evenhand.store.workbench import Workbench, open_workbench

TEXT = (Path(__file__).parents[3] / "docs" / "formats-snapshot.md").read_text(encoding="utf-8")
PAGE, _, OF_PARTS = TEXT.partition("Each entry of `tuning`")
ROWS = dict(re.findall(r"^\| `(\w+)` \| (.+) \|$", PAGE, flags=re.MULTILINE))


@pytest.fixture(scope="module")
def told(weighed_file: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """A snapshot of a study in which a part was tuned, as JSON; never to be changed."""
    place = tmp_path_factory.mktemp("told") / "bench.evenhand"
    shutil.copy(weighed_file, place)
    with open_workbench(place) as wb:
        return told_of(wb)


def told_of(wb: Workbench) -> dict[str, Any]:
    record = load_study(wb, "quay")
    build, currency = record.builds["wren"], record.study.currency
    assert currency is not None
    offer = Offer(part=build.parts[0], item_minor=90, currency=currency, on=NOW.date())
    add_offers(wb, [offer], at=NOW)
    lay_part(wb)
    tried(wb, walked())
    add_price(wb, Price(build="wren", minor=400, currency=currency, on=NOW.date()), at=NOW)
    return json.loads(as_text(snapshot_now(wb, load_study(wb, "quay"))))


def keys_of(table: Any) -> set[str]:
    """The keys of every row of a table, whether it is a list, a row, or rows by an address."""
    rows = table.values() if isinstance(table, dict) else table
    return {key for row in rows for key in row}


def test_every_key_is_told_and_no_other(told: dict[str, Any]) -> None:
    assert set(ROWS) == {*told, "objected"}  # which is left out where nothing was objected to


def test_the_terms_are_spelled_out(told: dict[str, Any]) -> None:
    assert set(told["study"]) == set(re.findall(r"`(\w+)`", ROWS["study"]))


@pytest.mark.parametrize(
    "table", ["setups", "definitions", "figures", "claims", "refusals", "prices", "part_prices"]
)
def test_the_keys_of_its_rows_are_spelled_out(told: dict[str, Any], table: str) -> None:
    assert keys_of(told[table])
    assert keys_of(told[table]) <= set(re.findall(r"`(\w+)`", ROWS[table]))


def test_every_key_of_a_tuned_part_is_spelled_out(told: dict[str, Any]) -> None:
    (part,) = told["tuning"]
    (said,) = part["said"]
    rows = [part, *part["limits"], said, said["claim"], *said["advice"]]
    assert {key for row in rows for key in row} <= set(re.findall(r"`(\w+)`", OF_PARTS))
