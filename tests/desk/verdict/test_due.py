"""What is due for a fresh look: old prices, missing ones, and verdicts near a turn."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder, weighed

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.verdict.due import OLD_DAYS, SMALL_PRICE, Sort, due
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.store.workbench import Workbench
from evenhand.verdicts.moves import Lever

TODAY = NOW.date()


@pytest.fixture
def folder() -> Folder:
    return weighed(small_folder())


def test_a_price_is_old_after_thirty_days_and_not_before(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    fresh = due(wb, "quay", today=TODAY + timedelta(days=OLD_DAYS))
    assert not [each for each in fresh if each.sort is Sort.OLD_PRICE]
    later = due(wb, "quay", today=TODAY + timedelta(days=OLD_DAYS + 1))
    old = [each.words for each in later if each.sort is Sort.OLD_PRICE]
    assert len(old) == 2
    assert "742\u00a0dl, is of 4 May 2031: 31 days old." in old[0]


def test_a_build_without_a_price_beside_one_that_has_is_due(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    del folder.document["prices"][0]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert "No price is on record for Wren." in [each.words for each in due(wb, "quay", today=TODAY)]


def test_every_turn_within_a_small_step_of_a_price_is_told_and_no_other(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["prices"][1]["price"] = 880
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    (here,) = judged_for(wb, load_study(wb, "quay")).audiences
    small = [f for f in here.flips if f.moves[0].lever is Lever.PRICE and f.size <= SMALL_PRICE]
    told = [each for each in due(wb, "quay", today=TODAY) if each.sort is Sort.NEAR_PRICE]
    assert small
    assert len(told) == len(small)
    assert all(each.audience == "play" and each.words.startswith("Mostly play: ") for each in told)


def test_a_study_without_prices_has_nothing_due_of_them(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    assert not [each for each in due(wb, "quay", today=TODAY) if "price" in each.sort]
