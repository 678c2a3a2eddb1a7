"""By what one sees whether anything about a run is another than it was: the seals of its rows."""

from __future__ import annotations

from evenhand.store.workbench import Workbench

Marks = tuple[str | None, ...]

SEALED = ("runs", "measured", "metrics", "triaged", "faults")
_JOINS = "".join(
    f" LEFT JOIN seals AS s_{table} ON s_{table}.\"table\" = '{table}' AND s_{table}.key = study_runs.run"
    for table in SEALED
)
_DIGESTS = ", ".join(f"s_{table}.digest" for table in SEALED)


def marks_of(wb: Workbench, study: str) -> dict[str, Marks]:
    """The marks of every run of a study by run id, in order of arrival, in one query.

    Two runs under one id and the same marks have the same facts, numbers and faults. Decisions are not in it.
    """
    with wb.reading() as conn:
        rows = conn.execute(
            f"SELECT study_runs.run, {_DIGESTS} FROM study_runs{_JOINS}"  # noqa: S608
            " WHERE study_runs.study = ? ORDER BY study_runs.id",
            (study,),
        )
        return {row[0]: tuple(row)[1:] for row in rows}
