"""What each study teaches about each of its tests, and which of that a person has told to forget.

Lessons are derived and replaced whenever a test is judged; to forget is a choice, and every choice stays.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.store.rows import Row, Saved, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What one study teaches about one test: figures as (total, weight); `counts` unless forgotten."""

    study: str
    test: str
    runs: int
    figures: Mapping[str, tuple[float, float]]
    counts: bool
    at: datetime


def save_lesson(wb: Workbench, lesson: Kept, *, code_version: str) -> Saved:
    """Puts what a study teaches about a test in the place of what it taught before."""
    with wb.writing() as conn:
        before = next((k for k in lessons_about(wb, lesson.test) if k.study == lesson.study), None)
        if before is not None and (before.runs, before.figures) == (lesson.runs, lesson.figures):
            return Saved.SAME
        conn.execute(
            "INSERT OR REPLACE INTO lessons VALUES (?, ?, ?, ?, ?, ?)",
            (
                lesson.study,
                lesson.test,
                lesson.runs,
                as_text(lesson.figures),
                code_version,
                lesson.at.isoformat(),
            ),
        )
        seal(conn, "lessons", f"{lesson.study} {lesson.test}")
    return Saved.NEW if before is None else Saved.CHANGED


def lessons_about(wb: Workbench, test: str) -> tuple[Kept, ...]:
    """What every study teaches about one test, forgotten or not, by study key."""
    return tuple(kept for kept in all_lessons(wb) if kept.test == test)


def all_lessons(wb: Workbench) -> tuple[Kept, ...]:
    """Every lesson on the workbench, by test and study key. Raises StoreProblem where one cannot be read."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT lessons.*, coalesce((SELECT counts FROM forgotten WHERE forgotten.study = lessons.study"
            " AND forgotten.test = lessons.test ORDER BY id DESC LIMIT 1), 1) AS counts"
            " FROM lessons ORDER BY test, study"
        ).fetchall()
    found = []
    for row in rows:
        with legible(f"what {row['study']} teaches about {row['test']}"):
            figures = {name: (float(a), float(b)) for name, (a, b) in json.loads(row["figures"]).items()}
            found.append(
                Kept(
                    study=row["study"],
                    test=row["test"],
                    runs=row["runs"],
                    figures=figures,
                    counts=bool(row["counts"]),
                    at=datetime.fromisoformat(row["at"]),
                )
            )
    return tuple(found)


def choose(wb: Workbench, test: str, study: str, *, counts: bool, now: datetime) -> None:
    """Let what a study teaches about a test count from now on, or not."""
    with wb.writing() as conn:
        row: Row = {"study": study, "test": test, "counts": int(counts), "at": now.isoformat()}
        seal(conn, "forgotten", insert(conn, "forgotten", row))
