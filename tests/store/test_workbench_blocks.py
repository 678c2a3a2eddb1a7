"""Writing and sharing a workbench: all of a block or none, one state for each reading, turns."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from tests.store.small_study import NOW, PARTS

from evenhand.errors import StoreProblem
from evenhand.records.builds import Part
from evenhand.store.rows import Saved
from evenhand.store.shelves import every, save
from evenhand.store.workbench import Workbench, open_workbench

A, B = PARTS


class Stop(Exception):
    """Ends a block before its end."""


def store_and_stop(wb: Workbench, part: Part) -> None:
    with wb.writing():
        save(wb, part, now=NOW)
        raise Stop


def test_all_of_a_block_is_stored_or_none_of_it(path: Path) -> None:
    with open_workbench(path) as wb:
        with pytest.raises(Stop):
            store_and_stop(wb, A)
        assert every(wb, Part) == ()
        save(wb, B, now=NOW)
        assert every(wb, Part) == (B,)


def test_a_nested_block_is_undone_alone(path: Path) -> None:
    with open_workbench(path) as wb:
        with wb.writing():
            save(wb, A, now=NOW)
            with pytest.raises(Stop):
                store_and_stop(wb, B)
        assert every(wb, Part) == (A,)


def test_a_nested_block_is_not_stored_before_the_outer_one_ends(path: Path) -> None:
    def stop_after_a_nested_block(wb: Workbench) -> None:
        with wb.writing():
            with wb.writing():
                save(wb, A, now=NOW)
            raise Stop

    with open_workbench(path) as wb:
        with pytest.raises(Stop):
            stop_after_a_nested_block(wb)
        assert every(wb, Part) == ()


def test_inside_a_block_one_reads_what_one_wrote_and_others_do_not_yet(path: Path) -> None:
    with open_workbench(path) as wb, open_workbench(path) as other:
        with wb.writing():
            save(wb, A, now=NOW)
            assert every(wb, Part) == (A,)
            assert every(other, Part) == ()
        assert every(other, Part) == (A,)


def test_one_reading_sees_one_state_of_the_file(path: Path) -> None:
    with open_workbench(path) as wb, wb.reading() as conn:
        count = "SELECT count(*) FROM parts"
        assert conn.execute(count).fetchone()[0] == 0
        writer = threading.Thread(target=lambda: save(wb, A, now=NOW))
        writer.start()
        writer.join()
        assert conn.execute(count).fetchone()[0] == 0
        assert every(wb, Part) == ()  # asked inside the block, so of the same moment
    with open_workbench(path) as wb:
        assert every(wb, Part) == (A,)


def test_a_reading_cannot_write(wb: Workbench) -> None:
    with pytest.raises(StoreProblem, match="may be read but not written"), wb.reading() as conn:
        conn.execute("DELETE FROM parts")


def test_threads_take_turns(path: Path) -> None:
    with open_workbench(path) as wb:
        parts = [Part(key=f"p{number}", kind="supply", name="Dunsolt 650") for number in range(40)]

        def store(mine: list[Part]) -> None:
            for part in mine:
                with wb.writing():
                    save(wb, part, now=NOW)

        threads = [threading.Thread(target=store, args=(parts[at::4],)) for at in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert {part.key for part in every(wb, Part)} == {part.key for part in parts}


def test_a_writer_that_holds_on_too_long_is_told_in_words(path: Path) -> None:
    with open_workbench(path) as wb, open_workbench(path, wait_s=0.05) as other:
        with wb.writing(), pytest.raises(StoreProblem, match="another program is writing"):
            save(other, A, now=NOW)
        assert save(other, A, now=NOW) is Saved.NEW
