"""The lines that tell a study's past are read as they were written."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evenhand.errors import BadRecord
from evenhand.folders.history_file import (
    KINDS,
    PastResult,
    change_line,
    read_changes,
    read_results,
    result_line,
)
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.store.rows import plain

PAGE = (Path(__file__).parents[2] / "docs" / "formats-study.md").read_text(encoding="utf-8")
DAY = datetime(2031, 5, 4, tzinfo=UTC)
RECORDS = (
    Part(key="k6", kind="processor", name="Brellow K6"),
    Build(key="wren", name="Wren", slot=1, parts=("k6",)),
    Setup(key="wren", name="Wren", build="wren", stamps={"os": "Tern 9"}),
    Test(
        key="t", name="T", measures=Measures.FRAMES, metric="average_fps", unit="fps",
        direction=Direction.HIGHER, also=("low_1pct",), settings={"quality": "high"}, locked_fps=60.0,
    ),
    Study(key="s", title="S", setups=("wren",), tests=("t",), ambient_c=(22.0, 26.0), weights={"t": 2.0}),
    Run(id="f4", study="s", test="t", setup="wren", label="1", score_row=("a", "b"), started_at=DAY, order=3),
)  # fmt: skip


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: type(record).__name__)
def test_every_kind_of_record_comes_back_equal(record: Study) -> None:
    noun = type(record).__name__.lower()
    assert KINDS[noun] is type(record)
    key = record.id if isinstance(record, Run) else record.key
    line = change_line(noun, key, at=DAY, before=plain(record), after=plain(record))
    (change,) = read_changes([(1, line)], where="history.jsonl")
    assert (change.record, change.key, change.at) == (noun, key, DAY)
    assert change.before == change.after == record
    assert type(change.after) is type(record)


def test_every_kind_is_tried_here() -> None:
    assert {type(record) for record in RECORDS} == set(KINDS.values())


def test_a_result_comes_back_to_the_letter() -> None:
    result = PastResult(
        at=DAY, code_version="0.1", input_hash="ab", body='{"study": "s",  "findings": [], "index": [{}]}'
    )
    assert list(read_results([(1, result_line(result))], study="s", where="results.jsonl")) == [result]
    with pytest.raises(BadRecord, match="no answer about the study 'other'"):
        list(read_results([(1, result_line(result))], study="other", where="results.jsonl"))


def test_the_examples_of_the_page_can_be_read() -> None:
    section = PAGE.split("`history.jsonl` and `results.jsonl`")[1].split("\n## ")[0]
    (example,) = re.findall(r"```json\n(.*?)```", section, flags=re.DOTALL)
    changes = list(read_changes(enumerate(example.splitlines(), start=1), where="the page"))
    assert [change.record for change in changes] == ["arrival", "part"]
    for noun in (*KINDS, "arrival"):
        assert f"`{noun}`" in section
