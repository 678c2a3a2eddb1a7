"""Scores that a work test wrote into a table, one table a machine, each machine in its own dialect."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from evenhand.demo.truth import DUNLIN, PLOVER, WREN
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, LogKind, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """One line of a score table."""

    machine: str
    task: str
    take: str
    result: float


TABLE_NAMES = {WREN: "scores/wren.csv", PLOVER: "scores/plover.jsonl", DUNLIN: "scores/dunlin.csv"}

SCORE_LAYOUT = LayoutEntry(
    name="score table",
    kind=LogKind.SCORES,
    columns=(
        Column(header="task", role=Role.TEST),
        Column(header="take", role=Role.RUN),
        Column(header="result", role=Role.SCORE),
    ),
)


def score_tables(rows: Sequence[TableRow]) -> Mapping[str, bytes]:
    """Every machine's table by its file name."""
    return {
        name: _WRITERS[key]([row for row in rows if row.machine == key]) for key, name in TABLE_NAMES.items()
    }


def _comma(rows: Sequence[TableRow]) -> bytes:
    lines = [f"{row.task},{row.take},{row.result:.4f}\n" for row in rows]
    return "".join(["task,take,result\n", *lines]).encode()


def _json_lines(rows: Sequence[TableRow]) -> bytes:
    objects = ({"task": row.task, "take": row.take, "result": round(row.result, 4)} for row in rows)
    return "".join(f"{json.dumps(each)}\n" for each in objects).encode()


def _semicolon(rows: Sequence[TableRow]) -> bytes:
    lines = [f"{row.task};{row.take};{row.result:.4f}\r\n".replace(".", ",") for row in rows]
    return "".join(["task;take;result\r\n", *lines]).encode()


_WRITERS: Mapping[str, Callable[[Sequence[TableRow]], bytes]] = {
    WREN: _comma,
    PLOVER: _json_lines,
    DUNLIN: _semicolon,
}
