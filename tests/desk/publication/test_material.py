"""What a study holds for those who write about it, as figures by address."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.material import cells_without, material_of
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.errors import NotFound
from evenhand.prose.material import Material
from evenhand.prose.quotable import Sort
from evenhand.prose.quotables import Quotables, quotables
from evenhand.records.runs import Reason
from evenhand.store.workbench import open_workbench


@pytest.fixture
def material(weighed_file: Path, tmp_path: Path) -> Material:
    shutil.copy(weighed_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        return material_of(wb, load_study(wb, "quay"))


@pytest.fixture
def known(material: Material) -> Quotables:
    return quotables(material)


def test_every_finding_index_and_verdict_may_be_quoted_from_both_sides(
    material: Material, known: Quotables
) -> None:
    for found in (*material.comparison.findings, *material.comparison.indexes, *material.verdicts):
        pairs = [(found.a, found.b), (found.b, found.a)]
        assert all(any(q.setups == pair for q in known.figures.values()) for pair in pairs)
    own = known.find("lead of wren over plover in causeway")
    other = known.find("lead of plover over wren in causeway")
    assert (1 + own.value / 100) * (1 + other.value / 100) == pytest.approx(1.0)
    assert own.low is not None
    assert other.high is not None
    assert (1 + own.low / 100) * (1 + other.high / 100) == pytest.approx(1.0)


def test_a_figure_is_printed_as_its_interval_allows_with_its_unit(known: Quotables) -> None:
    rate = known.find("rate of plover in causeway")
    assert rate.sort is Sort.RATE
    assert rate.unit == "fps"
    assert rate.n == 3
    assert rate.words.endswith("\N{NO-BREAK SPACE}fps")
    assert rate.low is not None
    assert rate.high is not None
    assert rate.low < rate.value < rate.high
    assert rate.ranged.startswith(rate.words)
    assert "(" in rate.ranged
    assert "average frame rate" in rate.definition
    assert "three runs" in rate.source


def test_prices_carry_their_day_and_a_break_even_its_band(material: Material, known: Quotables) -> None:
    price = known.find("price of wren")
    assert price.day == material.prices["wren"].on
    assert price.ranged.endswith(f"{price.day:%Y}")
    (even,) = (q for q in known.figures.values() if q.sort is Sort.BREAK_EVEN)
    assert even.low is not None
    assert even.high is not None
    assert even.low < even.value < even.high


def test_the_key_of_a_build_stands_for_its_setup_while_it_is_compared_in_one_state(known: Quotables) -> None:
    renamed = replace(known, called={"p": "plover"})
    assert renamed.find("price of p") is known.find("price  of plover")


def test_an_unknown_address_is_told_with_the_nearest(known: Quotables) -> None:
    with pytest.raises(NotFound, match="did you mean 'rate of plover in causeway'"):
        known.find("rate of plover in causway")


def test_what_was_not_measured_cannot_be_quoted(known: Quotables) -> None:
    assert not [q for q in known.figures.values() if q.sort is Sort.HEAT]


@pytest.mark.parametrize("address", ["rate of plover in causeway", "lead of wren over plover in causeway"])
def test_a_figure_whose_runs_are_all_set_aside_says_so_and_which(
    weighed_file: Path, tmp_path: Path, address: str
) -> None:
    shutil.copy(weighed_file, tmp_path / "aside.evenhand")
    with open_workbench(tmp_path / "aside.evenhand") as wb:
        own = load_study(wb, "quay").cell("causeway", "plover")
        assert own
        for each in own:
            set_aside(wb, each.run.id, reason=Reason.OTHER, said=Said(now=LATER, note="a door stood open"))
        gone = quotables(material_of(wb, load_study(wb, "quay")))
    with pytest.raises(NotFound, match="its runs are set aside: ") as told:
        gone.find(address)
    assert told.value.found.endswith("; ".join(each.run.label for each in own))
    assert "did you mean" not in told.value.todo
    with pytest.raises(NotFound, match="no figure is called"):
        gone.find("rate of plover in caseway")


def test_a_figure_of_which_there_is_no_run_says_so(weighed_file: Path, tmp_path: Path) -> None:
    shutil.copy(weighed_file, tmp_path / "none.evenhand")
    with open_workbench(tmp_path / "none.evenhand") as wb:
        record = load_study(wb, "quay")
        kept = tuple(each for each in record.runs if each.run.test != "causeway")
        names = judged_for(wb, record).names
        without = cells_without(replace(record, runs=kept), names)
    gone = Quotables(figures={}, without=without)
    with pytest.raises(NotFound, match="no run of Plover in Salt Causeway is on record"):
        gone.find("rate of plover in causeway")
