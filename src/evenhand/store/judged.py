"""What each test of a study was last judged on: a digest, so that nothing is judged twice on the same."""

from __future__ import annotations

from evenhand.store.workbench import Workbench


def judged_on(wb: Workbench, study: str) -> dict[str, str]:
    """The digest each test of a study was last judged on, by test key."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT test, digest FROM judged WHERE study = ?", (study,))
        return {row["test"]: row["digest"] for row in rows}


def note_judged(wb: Workbench, study: str, test: str, digest: str) -> None:
    """Remember what a test was judged on; call it in the transaction that stores what was found."""
    with wb.writing() as conn:
        conn.execute("INSERT OR REPLACE INTO judged VALUES (?, ?, ?)", (study, test, digest))
