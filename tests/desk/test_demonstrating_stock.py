"""The example's second study on the workbench of the first: what tuning bought, and nothing else changed."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.conftest import NOW
from tests.desk.same_content import assert_comes_back_the_same, content

from evenhand.demo import at_stock as planted
from evenhand.desk.demonstrating import bring_stock, write_raw
from evenhand.desk.demonstrating_stock import stock_found
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.desk.pages.home import home_page
from evenhand.desk.publication.cards import cards_of
from evenhand.store.upkeep import check

FIRST, SECOND = "saltmarsh", planted.STUDY.key


@pytest.fixture(scope="module")
def place(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first study's workbench with the second one on it; never to be written to."""
    place = tmp_path_factory.mktemp("two") / "saltmarsh.evenhand"
    shutil.copy(decided_file, place)
    with open_desk(place) as wb:
        bring_stock(wb, place.parent / "stock", now=NOW, watch=None)
    return place


@pytest.fixture
def wb(place: Path, tmp_path: Path) -> Iterator[Desk]:
    """A copy of it."""
    shutil.copy(place, tmp_path / "own.evenhand")
    with open_desk(tmp_path / "own.evenhand") as opened:
        yield opened


def test_what_tuning_bought_and_cost_is_found_and_told(wb: Desk) -> None:
    bought, cost = stock_found(wb, SECOND)
    assert (bought.what, bought.found) == ("what tuning Plover bought", True)
    assert (cost.what, cost.found) == ("what tuning Plover cost", True)
    assert "buys nothing that matters" in bought.told
    assert bought.told.endswith("in two tests it is ahead.")
    assert "W more at the wall" in bought.told.replace("\u00a0", " ")
    assert "less work than stock" in cost.told
    warm = cost.told.replace("\u00a0", " ")
    assert "settles 45 K above the room at 4,500 MHz at 1,150 mV, and 56 K at 4,650 MHz at 1,245 mV" in warm
    assert "11 K hotter" in warm, "where both settle, and not ten minutes against eight hours"


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("GAINS", {"causeway": 0.001, "tramlines": 0.025, "render": 0.06}),
        ("AHEAD_IN", ("tramlines",)),
    ],
)
def test_another_gain_than_was_planted_is_not_found(
    wb: Desk, monkeypatch: pytest.MonkeyPatch, name: str, other: object
) -> None:
    monkeypatch.setattr(planted, name, other)
    bought, cost = stock_found(wb, SECOND)
    assert (bought.found, cost.found) == (False, True)


@pytest.mark.parametrize(("name", "other"), [("true_added_w", lambda: 25.0), ("LOUDER_DB", 3.0)])
def test_another_cost_than_was_planted_is_not_found(
    wb: Desk, monkeypatch: pytest.MonkeyPatch, name: str, other: object
) -> None:
    monkeypatch.setattr(planted, name, other)
    bought, cost = stock_found(wb, SECOND)
    assert (bought.found, cost.found) == (True, False)


def test_no_run_waits_for_a_decision_and_every_one_counts(wb: Desk) -> None:
    record = load_study(wb, SECOND)
    assert len(record.runs) == 30
    assert all(each.state.counts for each in record.runs)


def test_the_first_study_stays_what_it_was(wb: Desk, decided_file: Path, tmp_path: Path) -> None:
    shutil.copy(decided_file, tmp_path / "alone.evenhand")
    with open_desk(tmp_path / "alone.evenhand") as alone:
        assert content(wb, FIRST) == content(alone, FIRST)
        for each, name in ((wb, "beside"), (alone, "by-itself")):
            export_study(each, FIRST, tmp_path / name)
    files = {path.relative_to(tmp_path / "beside") for path in (tmp_path / "beside").rglob("*")}
    assert files == {path.relative_to(tmp_path / "by-itself") for path in (tmp_path / "by-itself").rglob("*")}
    for file in sorted(file for file in files if (tmp_path / "beside" / file).is_file()):
        assert (tmp_path / "beside" / file).read_bytes() == (tmp_path / "by-itself" / file).read_bytes(), file


def test_the_first_study_comes_in_again_unchanged(wb: Desk, tmp_path: Path) -> None:
    write_raw(tmp_path / "study")
    report = import_folder(wb, tmp_path / "study", now=NOW)
    assert (report.new, report.changed, report.changes) == (0, 0, ())


def test_the_second_study_comes_back_the_same_with_the_trials(wb: Desk, tmp_path: Path) -> None:
    assert_comes_back_the_same(wb, SECOND, tmp_path)


def test_a_workbench_of_both_is_sound(place: Path) -> None:
    assert check(place).sound


def test_the_first_page_lists_both_with_what_they_say(wb: Desk) -> None:
    page = home_page(wb)
    assert page.answer == "Two studies, both settled."
    assert [card.title for card in page.studies] == [
        "Plover, tuned and at stock", "Three machines for the Saltmarsh video workshop",
    ]  # fmt: skip
    assert [card.size for card in page.studies] == ["30 runs, three tests", "158 runs, nine tests"]
    assert page.studies[0].builds == (("Plover", 2),)
    assert page.studies[0].said == "Plover, mild tune ahead in two, one level."


def test_its_cards_tell_what_tuning_gained(wb: Desk) -> None:
    drawn = {each.name: each.picture for each in cards_of(wb, load_study(wb, SECOND))}
    title = drawn["gain-plover-mild"].title.replace("\u00a0", " ")
    assert "buys nothing that matters" in title
