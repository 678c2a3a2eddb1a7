"""A script is heard again only where it is another or something is called otherwise."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.scripts import ground_of, heard_lately
from evenhand.prose.hearing import Heard
from evenhand.prose.rules import rules
from evenhand.prose.script import parse
from evenhand.records.prices import Price
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.prices import add_price
from evenhand.store.workbench import Workbench, open_workbench

SAID = "In Salt Causeway, Plover is ahead of Wren. Plover costs {price of plover, with range}."


@pytest.fixture
def bench(weighed_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(weighed_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def heard(wb: Workbench, said: str = SAID) -> tuple[Heard, ...]:
    return heard_lately(parse(said), ground_of(wb, load_study(wb, "quay")), rules())


def test_another_price_lets_a_script_stay_as_it_was_heard(bench: Workbench) -> None:
    before = heard(bench)
    currency = load_study(bench, "quay").study.currency
    assert currency is not None
    add_price(
        bench,
        Price(build="plover", minor=1100, currency=currency, on=date(2031, 5, 9)),
        at=LATER + timedelta(days=4),
    )
    assert heard(bench) is before


def test_another_name_or_another_word_has_it_heard_again(bench: Workbench) -> None:
    before = heard(bench)
    assert heard(bench, SAID.replace("ahead of", "behind")) != before
    shelves.save(bench, replace(shelves.one(bench, Test, "causeway"), name="Pepper Causeway"), now=LATER)
    assert heard(bench) != before
