"""Cards of tuned parts: a map and the hours behind a claim, for each part with trials and for no other."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import TRIAL, TUNED, lay_limit, lay_part, tried, walked
from tests.desk.tuning.test_watts import with_watts
from tests.desk.tuning.tuned_pair import PART, measured, pair
from tests.desk.tuning.warm_log import brought

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.tuning.noting import note_tuned
from evenhand.publish.style import Medium
from evenhand.store.workbench import Workbench


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    return bring(folder)


def cards(wb: Workbench, medium: Medium = Medium.WIDE) -> dict[str, str]:
    """Titles by name."""
    drawn = cards_of(wb, load_study(wb, "quay"), medium=medium)
    return {
        each.name: each.picture.title
        for each in drawn
        if each.name.startswith(("tuning", "hours", "watts", "heat", "gain"))
    }


def test_a_study_that_tunes_nothing_has_none(bench: Workbench) -> None:
    assert cards(bench) == {}
    lay_part(bench)
    assert cards(bench) == {}


@pytest.mark.parametrize("medium", Medium)
def test_a_tuned_part_has_its_map_and_its_hours(bench: Workbench, medium: Medium) -> None:
    lay_part(bench)
    tried(bench, walked())
    found = cards(bench, medium)
    assert list(found) == ["tuning-wren", "hours-wren"]
    assert "the edge" in found["tuning-wren"]
    assert found["hours-wren"].startswith("No failure in 10\u00a0min")
    assert "stable" not in " ".join(found.values())


@pytest.mark.parametrize("medium", Medium)
def test_a_part_with_a_temperature_log_has_a_card_of_it(bench: Workbench, medium: Medium) -> None:
    lay_part(bench)
    lay_limit(bench, quantity="temperature", most=110.0)
    brought(bench)
    found = cards(bench, medium)
    assert list(found) == ["heat-wren"]
    assert "200\u00a0W" in found["heat-wren"]


def test_a_log_that_tells_no_network_has_none(bench: Workbench) -> None:
    lay_part(bench)
    brought(bench, watts="")
    assert cards(bench) == {}


@pytest.mark.parametrize("medium", Medium)
def test_a_part_whose_watts_tell_a_law_has_a_card_of_its_joules(bench: Workbench, medium: Medium) -> None:
    lay_part(bench)
    tried(bench, with_watts(walked()))
    found = cards(bench, medium)
    assert list(found) == ["tuning-wren", "hours-wren", "watts-wren"]
    assert "work for a joule" in found["watts-wren"]


def test_a_part_that_only_failed_has_no_card_of_hours(bench: Workbench) -> None:
    lay_part(bench)
    tried(bench, [TRIAL | {"outcome": "crash", "hours": 0.05}])
    assert list(cards(bench)) == ["tuning-wren"]


def test_parts_of_one_setup_have_names_of_their_own(bench: Workbench) -> None:
    lay_part(bench)
    note_tuned(bench, TUNED | {"setup": "plover", "part": "memory"}, now=NOW)
    note_tuned(bench, TUNED | {"setup": "plover", "part": "graphics"}, now=NOW)
    tried(bench, [TRIAL | {"setup": "plover", "part": part} for part in ("memory", "graphics")])
    assert list(cards(bench)) == ["tuning-plover-1", "hours-plover-1", "tuning-plover-2", "hours-plover-2"]


def test_what_was_gained_over_stock_has_a_card_that_says_for_what(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, measured(pair()).write(tmp_path / "tuned"), now=NOW)
    note_tuned(wb, PART, now=NOW)
    drawn = {each.name: each.picture for each in cards_of(wb, load_study(wb, "mole"))}
    title = drawn["gain-tuned"].title.replace("\u00a0", " ")
    assert title.startswith("Tuning Tern's processor buys 5.9 % (")
    assert "for 24 W more at the wall and 3.1 dB more" in title


def test_without_stock_there_is_no_such_card(bench: Workbench) -> None:
    lay_part(bench)
    tried(bench, walked())
    assert not any(name.startswith("gain") for name in cards(bench))
