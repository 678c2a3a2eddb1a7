"""What was done last with a study stands, all of it stays on record, and a change behind our back shows."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace

import pytest
from tests.store.small_study import NOW, STUDY, unguarded

from evenhand.errors import BadRecord
from evenhand.records.away import StudyAway
from evenhand.store.away import add_away, away_of, studies_away
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

PUT_AWAY = StudyAway(study=STUDY.key, away=True, by="this computer", at=NOW, note="made twice")
BACK = StudyAway(study=STUDY.key, away=False, by="a laptop", at=NOW)


def test_it_comes_back_as_it_was(wb: Workbench) -> None:
    kept = add_away(wb, PUT_AWAY)
    assert replace(kept, id=0) == PUT_AWAY
    assert studies_away(wb) == {STUDY.key: kept}


def test_a_study_nobody_put_away_is_not(wb: Workbench) -> None:
    assert studies_away(wb) == {}
    assert away_of(wb, STUDY.key) == ()


def test_what_was_done_last_stands_and_all_of_it_is_history(wb: Workbench) -> None:
    kept = [add_away(wb, each) for each in (PUT_AWAY, BACK)]
    assert studies_away(wb) == {}
    kept.append(add_away(wb, PUT_AWAY))
    assert studies_away(wb) == {STUDY.key: kept[-1]}
    assert away_of(wb, STUDY.key) == tuple(kept)


def test_a_study_that_is_not_on_record_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord):
        add_away(wb, replace(PUT_AWAY, study="nowhere"))


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE studies_away SET away = 0", "studies_away '1' is not what Evenhand wrote"),
        ("DELETE FROM studies_away", "studies_away '1' is gone"),
    ],
)
def test_the_check_sees_a_change_behind_our_back(wb: Workbench, statement: str, words: str) -> None:
    add_away(wb, PUT_AWAY)
    assert check(wb.path).sound
    with closing(sqlite3.connect(wb.path, isolation_level=None)) as conn, unguarded(conn):
        conn.execute(statement)
    assert any(problem.startswith(words) for problem in check(wb.path).problems)
