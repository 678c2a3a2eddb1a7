"""Which logs of a bundle are not those that an edition went out with, whatever its own list says of them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from evenhand.editions.bundle import MASKED, STUDY
from evenhand.editions.snapshot import Snapshot, Table

CALLED = {"log": "the log", "sensors": "the sensor log"}


def masked_before(data: bytes) -> Mapping[str, tuple[str, str]]:
    """SHA-256 that a masked file had before, by its path and its SHA-256 as masked.

    Lists of earlier bundles do not say the second: it is "" then. Raises ValueError where the list is none.

    >>> masked_before(b'[{"path": "study/logs/a.csv", "sha256_before": "9f", "sha256": "3c"}]')
    {'study/logs/a.csv': ('9f', '3c')}
    """
    try:
        return {
            str(row["path"]): (str(row["sha256_before"]), str(row.get("sha256", "")))
            for row in json.loads(data)
        }
    except (KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ValueError("no list of masked files") from error


def logs_exchanged(
    published: Snapshot, again: Snapshot, *, listed: bytes, sums: Mapping[str, str]
) -> Iterator[str]:
    """Logs with which no run went out, as sentences that name each, and runs whose log is not there.

    `listed` is the bundle's list of masked files, `sums` the SHA-256 of its files by path. A run that is not
    there at all is not told here.
    """
    try:
        before = masked_before(listed)
    except ValueError:
        yield f"{MASKED} is no list of masked files: whether its logs are those that went out cannot be said"
        return
    came_as = {digest: _came_as(digest, *before.get(path, ("", ""))) for path, digest in sums.items()}
    paths = {digest: path for path, digest in sums.items() if path.startswith(STUDY)}
    now = {_called(run): run for run in again.runs}
    for run in published.runs:
        here = now.get(_called(run), {})
        for what, said in CALLED.items():
            file = here.get(what)
            if file in paths and run.get(what) != came_as[file]:
                yield f"{paths[file]} is not {said} with which {_called(run)} went out"


def _came_as(digest: str, before: str, masked: str) -> str:
    return before if before and masked in ("", digest) else digest


def _called(run: Table) -> str:
    return f"{run['label']} ({run['test']}, {run['setup']})"
