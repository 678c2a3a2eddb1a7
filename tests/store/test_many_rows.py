"""Rows of one owner are written many at a time, and refused as they are one by one."""

from __future__ import annotations

import math

import pytest
from tests.store.small_study import BUILD, NOW

from evenhand.errors import BadRecord
from evenhand.records.builds import Part
from evenhand.store.rows import replace_all
from evenhand.store.shelves import save
from evenhand.store.workbench import Workbench

MANY = 95


def parts_of(wb: Workbench) -> list[str]:
    with wb.reading() as conn:
        found = conn.execute("SELECT part FROM build_parts WHERE build = ? ORDER BY position", (BUILD.key,))
        return [row["part"] for row in found]


def put(wb: Workbench, parts: list[str]) -> None:
    with wb.writing() as conn:
        rows = [{"position": at, "part": part} for at, part in enumerate(parts)]
        replace_all(conn, "build_parts", ("build", BUILD.key), rows)


@pytest.mark.parametrize("count", [0, 1, 39, 40, 41, MANY])
def test_all_of_them_are_there_in_their_order(wb: Workbench, count: int) -> None:
    names = [f"part-{at}" for at in range(count)]
    for name in names:
        save(wb, Part(key=name, kind="memory", name=name), now=NOW)
    put(wb, names)
    assert parts_of(wb) == names


@pytest.mark.parametrize("at", [0, 50, MANY - 1])
def test_the_one_that_names_nothing_on_record_is_named_and_none_is_written(wb: Workbench, at: int) -> None:
    before, names = parts_of(wb), ["osk-9"] * MANY
    names[at] = "nowhere"
    with pytest.raises(BadRecord, match="part 'nowhere' is not among the parts on record"):
        put(wb, names)
    assert parts_of(wb) == before != []


def test_rows_of_other_columns_and_what_is_no_number_are_told_apart(wb: Workbench) -> None:
    with wb.writing() as conn:
        conn.execute("PRAGMA defer_foreign_keys = ON")
        rows = [{"key": "a", "value": 1.0}, {"key": "b", "absent": "none"}, {"key": "c", "value": 2.0}]
        replace_all(conn, "metrics", ("run", "r1"), rows)
        told = conn.execute("SELECT key, value, absent FROM metrics WHERE run = 'r1' ORDER BY key").fetchall()
        assert [tuple(row) for row in told] == [("a", 1.0, None), ("b", None, "none"), ("c", 2.0, None)]
        with pytest.raises(BadRecord, match="value is not a number"):
            replace_all(conn, "metrics", ("run", "r1"), [rows[0], {"key": "d", "value": math.nan}])
        conn.execute("DELETE FROM metrics")
