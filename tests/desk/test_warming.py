"""What the first visits ask for is worked out before, study by study, as long as it is let."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk import warming
from evenhand.desk.study.briefing import start_study
from evenhand.desk.warming import MOST, work_out
from evenhand.store.workbench import Workbench

PAGES = ("compare_page", "verdict_page", "cards_page")


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """Which pages were worked out to their end, and of which study: the true pages do it."""
    done: list[tuple[str, str]] = []

    def page(wb: Workbench, study: str, asked: Any, *, name: str, true: Callable[..., object]) -> None:
        true(wb, study, asked)
        done.append((name, study))

    for name in PAGES:
        monkeypatch.setattr(warming, name, partial(page, name=name, true=getattr(warming, name)))
    return done


def test_the_dearest_pages_of_a_study_are_worked_out(
    stocked: Workbench, worked_out: list[tuple[str, str]]
) -> None:
    work_out(stocked, going=lambda: True)
    assert worked_out == [(name, "quay") for name in PAGES]


def test_a_study_that_cannot_be_shown_keeps_no_other_from_being_worked_out(
    stocked: Workbench, worked_out: list[tuple[str, str]]
) -> None:
    for n in range(MOST - 1):
        start_study(stocked, {"title": f"Empty {n}"}, now=NOW)
    work_out(stocked, going=lambda: True)
    assert ("compare_page", "quay") in worked_out


def test_nothing_is_begun_once_the_site_closes(stocked: Workbench, worked_out: list[tuple[str, str]]) -> None:
    work_out(stocked, going=lambda: len(worked_out) < 1)
    assert len(worked_out) == 1
