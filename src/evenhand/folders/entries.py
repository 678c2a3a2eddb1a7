"""The entries of the tables of a study file, as far as they are sound."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenhand.folders.problems import Problem
from evenhand.folders.wording import AnyTable, checked

Document = Mapping[str, Any]


def is_list_of_tables(given: object) -> bool:
    """Whether something of a file is what [[name]] makes."""
    return isinstance(given, list) and all(isinstance(entry, Mapping) for entry in given)


def raw_of(document: Document, table: str) -> list[Document]:
    """The entries of one table as they stand there, sound or not."""
    given = document.get(table, [])
    return given if is_list_of_tables(given) else []


def entries_of(
    document: Document, table: str, model: type[AnyTable], problems: list[Problem]
) -> list[tuple[int, AnyTable]]:
    """The sound entries of one table, each with its number from 0."""
    tried = (
        (at, checked(model, raw, (table, at), problems)) for at, raw in enumerate(raw_of(document, table))
    )
    return [(at, entry) for at, entry in tried if entry is not None]
