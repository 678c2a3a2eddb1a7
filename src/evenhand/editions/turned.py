"""Which verdicts turned from one edition to another: who is ahead, or whose money is better spent."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.editions.snapshot import Snapshot, Table

Key = tuple[str, frozenset[str]]
_OTHER = {"ahead": "behind", "behind": "ahead", "a": "b", "b": "a"}


def turned(before: Snapshot, after: Snapshot) -> Iterator[str]:
    """Each verdict that says another thing than it did, as it was and as it is; a number alone is none."""
    now = dict(_verdicts(after))
    for key, was in _verdicts(before):
        here = now.pop(key, None)
        if here is None:
            yield f"{was['words']} → no verdict any more"
        elif _stands(was) != _stands(here):
            yield f"{was['words']} → {here['words']}"
    yield from (f"no verdict before → {each['words']}" for each in now.values())


def _verdicts(snapshot: Snapshot) -> Iterator[tuple[Key, Table]]:
    for each in snapshot.verdicts["audiences"]:
        for verdict in each["verdicts"]:
            yield (each["audience"]["key"], frozenset((verdict["a"], verdict["b"]))), verdict


def _stands(verdict: Table) -> tuple[str, str]:
    """Who is ahead and whose money is better spent, of the pair in the order of its letters."""
    said = (str(verdict["outcome"]), str(verdict["value"]))
    if verdict["a"] <= verdict["b"]:
        return said
    return _OTHER.get(said[0], said[0]), _OTHER.get(said[1], said[1])
