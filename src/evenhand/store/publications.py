"""Publications and their files: frozen, sealed, only ever added to."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.publications import Publication
from evenhand.records.studies import Study
from evenhand.store import originals, shelves
from evenhand.store.rows import Row, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def publish(wb: Workbench, publication: Publication) -> Publication:
    """Freezes an edition; its files must be kept already (`originals.keep_unnamed`).

    Its number is one more than that of the last edition of the study, whatever the record says. Raises
    BadRecord where the study or the bytes of a file are not on record: nothing is frozen then.
    """
    with wb.writing() as conn:
        last = conn.execute(
            "SELECT coalesce(max(number), 0) FROM publications WHERE study = ?", (publication.study,)
        ).fetchone()[0]
        made = replace(publication, number=last + 1)
        number = insert(conn, "publications", _row(made))
        seal(conn, "publications", number)
        for path, digest in made.files.items():
            insert(conn, "publication_files", {"publication": number, "path": path, "digest": digest})
        seal(conn, "publication_files", number)
    return replace(made, id=number)


def publications_of(wb: Workbench, study: str) -> tuple[Publication, ...]:
    """The editions of a study, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM publications WHERE study = ? ORDER BY number", (study,)).fetchall()
        return tuple(publication_from(row, _files(conn, row["id"])) for row in rows)


def publication(wb: Workbench, study: str, number: int) -> Publication:
    """One edition of a study. Raises NotFound, for a study that nobody knows with the nearest."""
    found = {each.number: each for each in publications_of(wb, study)}
    if not found:
        shelves.one(wb, Study, study)
    if number not in found:
        which = str(number) if found else "yet"
        told = (
            f"there are editions 1 to {len(found)}"
            if found
            else "publish it first: nothing of it was published yet"
        )
        raise NotFound(f"study '{study}' has no edition {which}", where=str(wb.path), todo=told)
    return found[number]


def published_file(wb: Workbench, edition: Publication, path: str) -> bytes:
    """The bytes of a file as they went out. Raises NotFound, or StoreProblem where they are damaged."""
    if path not in edition.files:
        raise NotFound(f"edition {edition.number} of '{edition.study}' has no file '{path}'")
    return originals.original(wb, edition.files[path])


def publication_from(row: sqlite3.Row, files: Mapping[str, str]) -> Publication:
    """The edition that a row and its files hold. Raises StoreProblem where they hold none."""
    with legible(f"publication {row['id']}"):
        return Publication(**{**dict(row), "at": datetime.fromisoformat(row["at"]), "files": files})


def _files(conn: sqlite3.Connection, number: int) -> dict[str, str]:
    rows = conn.execute("SELECT * FROM publication_files WHERE publication = ? ORDER BY path", (number,))
    return {row["path"]: row["digest"] for row in rows}


def _row(made: Publication) -> Row:
    return {
        "study": made.study,
        "number": made.number,
        "reason": made.reason,
        "code_version": made.code_version,
        "input_hash": made.input_hash,
        "body": made.body,
        "by": made.by,
        "at": made.at.isoformat(),
    }
