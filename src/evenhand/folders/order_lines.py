"""On which line of a study file each run's place in the order stands."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.errors import BadRecord
from evenhand.folders.lines import Path, lines_of


def order_lines(text: str) -> tuple[int | None, ...]:
    r"""The line for each run, in the order of `StudyFolder.runs`; None for a run that has no place.

    A run of a batch that says nothing itself has that of its batch. Raises BadRecord where it is not TOML.

    >>> order_lines('[[runs]]\norder = 4\n[[batches]]\norder = 9\nruns = [{score = 1.0}]')
    (2, 4)
    """
    try:
        document = tomllib.loads(text)
    except ValueError as error:
        raise BadRecord(f"this is not TOML: {error}") from error
    lines = lines_of(text)
    return tuple(next((lines[p] for p in paths if p in lines), None) for paths in _paths(document))


def _paths(document: Mapping[str, Any]) -> Iterator[tuple[Path, ...]]:
    for at in range(len(document.get("runs", ()))):
        yield (("runs", at, "order"),)
    for at, batch in enumerate(document.get("batches", ())):
        for place in range(len(batch.get("runs", ()))):
            yield ("batches", at, "runs", place, "order"), ("batches", at, "order")
