"""Watched folders and what was seen in them come back as they were; the last one of a study stands."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.store.small_study import NOW, STUDY

from evenhand.errors import BadRecord
from evenhand.records.watches import SeenFile, WatchedFolder
from evenhand.store import watches
from evenhand.store.workbench import Workbench

WATCH = WatchedFolder(study=STUDY.key, folder="/logs/day", by="this computer", at=NOW)


def test_the_last_folder_of_a_study_stands(wb: Workbench) -> None:
    watches.add_watch(wb, WATCH)
    later = watches.add_watch(wb, replace(WATCH, folder="/logs/night"))
    assert watches.watches_standing(wb) == (later,)


def test_a_folder_for_any_study_stands_beside_that_of_a_study(wb: Workbench) -> None:
    one, other = watches.add_watch(wb, WATCH), watches.add_watch(wb, replace(WATCH, study=None))
    assert watches.watches_standing(wb) == (one, other)


def test_an_ended_watch_stands_no_more(wb: Workbench) -> None:
    watches.add_watch(wb, WATCH)
    watches.add_watch(wb, replace(WATCH, folder=None))
    assert watches.watches_standing(wb) == ()


def test_a_study_that_is_not_there_has_no_folder(wb: Workbench) -> None:
    with pytest.raises(BadRecord):
        watches.add_watch(wb, replace(WATCH, study="nowhere"))


def test_files_that_were_seen_come_back_in_order(wb: Workbench) -> None:
    watch = watches.add_watch(wb, WATCH).id
    seen = [SeenFile(watch=watch, path=f"{n}.csv", bytes=n, changed_ns=n, at=NOW, note="") for n in (3, 1, 2)]
    watches.add_seen(wb, seen)
    assert watches.seen_in(wb, watch) == tuple(seen)


def test_a_name_that_is_no_text_is_spelt_out(wb: Workbench) -> None:
    watch = watches.add_watch(wb, WATCH).id
    watches.add_seen(wb, [SeenFile(watch=watch, path="a\udcff.csv", bytes=1, changed_ns=1, at=NOW)])
    (seen,) = watches.seen_in(wb, watch)
    assert seen.path == watches.written("a\udcff.csv") == "a\\udcff.csv"
