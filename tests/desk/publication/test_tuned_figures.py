"""Figures of the hours of tuned parts that scripts may quote: each under its part, its load, its settings."""

from __future__ import annotations

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import Folder
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.material import material_of
from evenhand.prose.quotables import quotables
from evenhand.store.workbench import Workbench


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    wb = bring(folder)
    lay_part(wb)
    return wb


OF_HOURS = ("claim", "hours", "failures", "bound", "clock", "voltage")


def figures(wb: Workbench) -> dict[str, str]:
    """Words by address, of what hours claim of tuned parts."""
    every = quotables(material_of(wb, load_study(wb, "quay"))).figures
    return {at: q.words.replace("\u00a0", " ") for at, q in every.items()
            if " of wren by processor " in at and q.sort.value in OF_HOURS}  # fmt: skip


def test_a_part_without_trials_has_none(bench: Workbench) -> None:
    assert figures(bench) == {}


def test_the_claim_and_what_it_is_made_of_each_have_an_address(bench: Workbench) -> None:
    tried(bench, [*walked(), {**TRIAL, "hours": 30.0}])
    under = "of wren by processor under integers"
    assert figures(bench) == {
        "clock of wren by processor at stock": "5,000 MHz",
        "voltage of wren by processor at stock": "1,050 mV",
        f"claim {under}": "no failure in 30 h 10 min of integers at 24 °C, at 95 % fewer than one in 10 h",
        f"hours {under}": "30 h 10 min",
        f"failures {under}": "no failure",
        f"bound {under}": "fewer than one in 10 h",
        f"clock {under}": "5,000 MHz",
        f"voltage {under}": "1,050 mV",
    }


def test_another_load_and_other_settings_have_addresses_of_their_own(bench: Workbench) -> None:
    tried(bench, [TRIAL, TRIAL | {"load": "My game, night"}, TRIAL | {"settings": {"load-line": "4"}}])
    assert {at.partition(" under ")[2] for at in figures(bench) if at.startswith("claim ")} == {
        "integers", "my-game-night", "integers-load-line-4",
    }  # fmt: skip


def test_a_part_that_only_failed_has_nothing_to_claim(bench: Workbench) -> None:
    tried(bench, [TRIAL | {"outcome": "crash", "hours": 0.05}])
    assert figures(bench) == {}
