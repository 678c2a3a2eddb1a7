"""Which logs of a bundle are not those that an edition went out with, whatever its own list says of them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from evenhand.editions.bundle import MASKED, STUDY
from evenhand.editions.snapshot import ANEW, Snapshot, Table

MOST_BYTES = 64_000_000  # some 200,000 logs
MASKED_KEYS = ("path", "sha256_before", "sha256")
CALLED = {"log": "the log", "sensors": "the sensor log"}


def masked_before(data: bytes) -> Mapping[str, tuple[str, str]]:
    """SHA-256 that a masked file had before, by its path and its SHA-256 as masked.

    Lists of earlier bundles do not say the second: it is "" then. Raises ValueError where the list is none,
    and says what is wrong with it.

    >>> masked_before(b'[{"path": "study/logs/a.csv", "sha256_before": "9f", "sha256": "3c"}]')
    {'study/logs/a.csv': ('9f', '3c')}
    """
    if len(data) > MOST_BYTES:
        raise ValueError(f"more than {MOST_BYTES // 1_000_000} MB")
    try:
        rows = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise ValueError(f"no JSON, {error!s:.80}" if data.strip() else "missing, or empty") from error
    if not isinstance(rows, list):
        raise ValueError("no list")
    found = {}
    for number, row in enumerate(rows, start=1):
        told = [row.get(key, "") for key in MASKED_KEYS] if isinstance(row, dict) else []
        if not (all(isinstance(each, str) for each in told) and all(told[:2]) and told):
            raise ValueError(f"entry {number} lacks a path or a digest, or one of them is no text")
        path, before, masked = told
        found[path] = (before, masked)
    return found


def logs_exchanged(
    published: Snapshot, again: Snapshot, *, listed: bytes, sums: Mapping[str, str]
) -> Iterator[str]:
    """Logs with which no run went out, as sentences that name each, and runs whose log is not there.

    `listed` is the bundle's list of masked files, `sums` the SHA-256 of its files by path. A run that is not
    there at all is not told here.
    """
    try:
        before = masked_before(listed)
    except ValueError as wrong:
        yield (
            f"{MASKED} is no list of masked files ({wrong}): whether its logs are those that went out cannot "
            f"be said; {ANEW}"
        )
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
