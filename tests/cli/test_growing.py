"""What to buy for a budget and what to change over the years, on the command line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.money.small_market import DAY, lay_market
from tests.desk.small_folder import NOW

from evenhand.cli.showing import Watch
from evenhand.records.part_facts import PartFact
from evenhand.records.studies import Study
from evenhand.store import part_facts, shelves
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


def test_what_one_more_of_anything_buys_is_told_and_nothing_as_nothing(market: Command) -> None:
    told = market("better", "quay", "--build", "wren", "--budget", "1000").out
    assert "Nothing would be gained by more memory slots, slots of the board," in told
    rooms = market("better", "quay", "--build", "wren", "--budget", "1000", "--json").json["rooms"]
    assert rooms["memory-slot"] == {"share": 0.0, "minor": 990, "gap": 0.0}


def test_a_longer_case_is_told_with_what_it_would_bring_and_for_how_much(
    market: Command, place: Path
) -> None:
    with open_workbench(place) as wb:
        short = PartFact(part="hollin-mid", fact="graphics_length_mm", value=295, source="a ruler", on=DAY)
        part_facts.add_facts(wb, [short], at=NOW)
    ask = ("better", "quay", "--build", "wren", "--budget", "1000")
    found = market(*ask, "--json").json
    room = found["rooms"]["graphics-length"]
    assert (room["minor"], room["share"] > 0.2) == (990, True)
    now = found["choices"][0]["minor"]
    told = market(*ask).out
    percent, more = round(100 * room["share"]), 990 - now
    said = (
        f"20 mm more length for the card in the case would bring about {percent} % more for {more} dl more."
    )
    assert said in told


def test_other_budgets_are_told_when_they_are_asked_for(market: Command) -> None:
    plain = market("better", "quay", "--build", "wren", "--budget", "1000", "--json").json
    assert (plain["reach"], plain["rules"], plain["stopped"]) == (None, None, False)
    found = market("better", "quay", "--build", "wren", "--budget", "1000", "--reach", "--json").json["reach"]
    assert [each["budget"] for each in found] == [*range(720, 1500, 40)]
    assert (found[0]["minor"], found[0]["new"]) == (None, [])
    thousand = next(each for each in found if each["budget"] == 1000)
    assert thousand["new"] == ["ostrey-70", "garth-850"]
    assert all(each["minor"] is None or each["minor"] <= each["budget"] for each in found)
    told = market("better", "quay", "--build", "wren", "--budget", "1000", "--reach").out
    assert "buys a machine for" in told
    assert "Ostrey 70 and Garth 850" in told.partition("buys a machine for")[2]


@pytest.mark.parametrize(("command", "key"), [("better", "stopped"), ("paths", "unfinished")])
def test_a_search_that_is_stopped_tells_what_it_had_found(
    market: Command, monkeypatch: pytest.MonkeyPatch, command: str, key: str
) -> None:
    def interrupt(self: Watch, done: int, total: int, _: str) -> None:
        if done > total / 2:
            raise KeyboardInterrupt

    whole = market(command, "quay", "--json")
    monkeypatch.setattr(Watch, "__call__", interrupt)
    stopped = market(command, "quay", "--json")
    assert (whole.code, stopped.code) == (0, 130)
    assert not whole.json[key]
    assert stopped.json[key]
    told = market(command, "quay")
    assert told.code == 130
    assert "stopped; that is what was found by then" in told.err
    assert "Wren" in told.out


def test_power_that_is_assumed_otherwise_is_told(market: Command) -> None:
    assert market("fit", "wren", "--assume", "rest.board=35").code == 0
    for command in ("better", "paths"):
        assert "Assumed of power otherwise here:" in market(command, "quay").out
        assert "usually" in market(command, "quay", "--json").json["power_otherwise"]


def test_ties_are_told_by_the_margin_of_the_study(market: Command, place: Path) -> None:
    with open_workbench(place) as wb:
        shelves.save(wb, replace(shelves.one(wb, Study, "quay"), margin=0.4), now=NOW)
    found = market("better", "quay", "--build", "wren", "--budget", "1000")
    assert "As good: less than 40 % below the best, the smallest difference that matters" in found.out
    assert len(market("better", "quay", "--build", "wren", "--budget", "1000", "--json").json["choices"]) > 1
