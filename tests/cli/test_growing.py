"""What to buy for a budget and what to change over the years, on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.money.small_market import lay_market

from evenhand.store.workbench import open_workbench


@pytest.fixture
def market(stocked: Command, place: Path) -> Command:
    with open_workbench(place) as wb:
        lay_market(wb)
    return stocked


def test_the_best_for_a_budget_is_told_with_what_more_would_bring(market: Command) -> None:
    told = market("better", "quay", "--build", "wren", "--budget", "1,000 dl").out
    assert "For Club, the best within 1,000\xa0dl:" in told
    assert "above Wren’s own index" in told
    assert "40\xa0dl more would bring" in told
    assert "before anybody spends money on it" in told


def test_parts_that_could_not_be_chosen_are_named(market: Command) -> None:
    told = market("better", "quay").out
    assert "No offer in dl is on record of one part: Brellow K6." in told


def test_an_impossible_budget_says_what_the_cheapest_costs(market: Command) -> None:
    told = market("better", "quay", "--budget", "400").out
    assert "No machine that goes together costs 400\xa0dl or less: the cheapest costs 795\xa0dl." in told


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("better", "quay", "--budget", "a lot"), "'a lot' is no amount"),
        (("better", "quay", "--budget", "-5"), "'-5' is no amount"),
        (("better", "quay", "--build", "wrem"), "no compared build with parts is called 'wrem'"),
        (("better", "quay", "--audience", "clubb"), "no audience is called 'clubb'"),
        (("paths", "quai"), "quai"),
    ],
)
def test_what_cannot_be_asked_is_refused(market: Command, arguments: tuple[str, ...], said: str) -> None:
    refused = market(*arguments)
    assert refused.code == 2
    assert said in refused.err


def test_a_study_that_counts_in_nothing_says_what_to_do(stocked: Command) -> None:
    refused = stocked("better", "quay")
    assert refused.code == 2
    assert "does not say what it counts in" in refused.err


def test_paths_are_told_as_stories(market: Command) -> None:
    told = market("paths", "quay").out
    assert "Hold it as it is for all 36 months." in told
    assert "in the end, at a mean index of" in told
    assert "A part fetches 60 to 80\xa0% of its price at once" in told


def test_both_are_drawn_as_cards_for_every_medium(market: Command, tmp_path: Path) -> None:
    drawn = market("better", "quay", "--cards", tmp_path / "cards", "--json").json["files"]
    drawn += market("paths", "quay", "--cards", tmp_path / "cards", "--json").json["files"]
    media = ("", "-dark", "-tall", "-tall-dark", "-square", "-square-dark")
    wanted = {f"{name}{m}.{end}" for name in ("reach", "paths") for m in media for end in ("svg", "png")}
    assert {Path(file).name for file in drawn} == wanted
    assert all(Path(file).stat().st_size > 1000 for file in drawn)


def test_where_nothing_can_be_drawn_it_is_said(market: Command, tmp_path: Path) -> None:
    refused = market("better", "quay", "--budget", "100", "--cards", tmp_path / "cards")
    assert refused.code == 2
    assert "ask for a larger budget" in refused.err
