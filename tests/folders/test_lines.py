"""Where in a TOML text things stand."""

from __future__ import annotations

from evenhand.folders.lines import lines_of, nearest_line

TEXT = '''# a comment with [[brackets]] and "quotes"
[study]
note = """two
lines with [[runs]] and { braces }"""
"quoted key" = 'a # b'
dotted.inner = 1

[[batches]]
shared = [ 1, 2,
  3 ]
runs = [
  { a = 1, when = 2026-11-21 09:10:00Z },  # first
  { b = { c = [ "]", '}' ] } },
]
[[batches]]
runs = [ {}, {} ]
[[batches.more]]
x = 1
[[batches.more]]
x = 2
[batches.table]
y = 1
'''


def test_tables_and_keys_stand_on_their_lines() -> None:
    lines = lines_of(TEXT)
    assert lines["study",] == 2
    assert lines["study", "note"] == 3
    assert lines["study", "quoted key"] == 5
    assert lines["study", "dotted", "inner"] == 6


def test_entries_of_lists_stand_on_their_lines() -> None:
    lines = lines_of(TEXT)
    assert lines["batches", 0, "shared", 2] == 10
    assert lines["batches", 0, "runs", 0, "when"] == 12
    assert lines["batches", 0, "runs", 1, "b", "c", 1] == 13
    assert lines["batches", 1] == 15
    assert lines["batches", 1, "runs", 1] == 16
    assert lines["batches", 1, "more", 1, "x"] == 20
    assert lines["batches", 1, "table", "y"] == 22


def test_what_has_no_line_takes_that_of_what_is_around_it() -> None:
    lines = lines_of(TEXT)
    assert nearest_line(lines, ("batches", 1, "runs", 0, "absent")) == 16
    assert nearest_line(lines, ("nowhere",)) is None
