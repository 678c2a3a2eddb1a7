"""The noun of publication: everything that one edition of a study says, as plain values."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from evenhand.editions.snapshot_shape import shape_troubles
from evenhand.errors import BadRecord

FORM = 1
Table = Mapping[str, Any]
ANEW = "take it from where it was published"


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """One edition before it is dressed. Every table is plain: text, numbers, lists, None.

    `study` are the terms; `setups` with the parts of their builds, `tests`, `definitions` of every number by
    key; `figures` what may be quoted by address (`prose.quotable`); `findings` and `verdicts` the answers of
    ``compare`` and ``verdict``; `claims` the sentences that stand, by their permanent address, `refusals`
    those that do not, with the reason; `prices` by setup; `disclosures`; `runs` all that landed, with the
    SHA-256 of their logs; `caveats` what has to be known with it; `script` the narration, None where none;
    `imprint` who publishes, with licence and links; `excused` why a script went out that does not stand, and
    `objected` what its sentence check objected to on the day; `part_prices` what each setup's parts cost;
    `tuning` the tuned parts of the setups with the limits of their makers, every trial, and what was said.
    """

    study: Table
    setups: Sequence[Table]
    tests: Sequence[Table]
    definitions: Table
    figures: Table
    findings: Table
    verdicts: Table
    claims: Table
    refusals: Sequence[Table]
    prices: Table
    disclosures: Sequence[Table]
    runs: Sequence[Table]
    caveats: Sequence[str] = ()
    script: str | None = None
    imprint: Table = field(default_factory=dict)
    excused: str = ""
    objected: Sequence[Table] = ()
    part_prices: Sequence[Table] = ()
    tuning: Sequence[Table] = ()


def as_text(snapshot: Snapshot) -> str:
    """The snapshot as JSON text: keys in order, so that equal snapshots are equal texts."""
    told = {"form": FORM} | {field.name: getattr(snapshot, field.name) for field in fields(Snapshot)}
    for late in ("objected", "part_prices", "tuning"):  # editions went out before these were written down
        if not told[late]:
            del told[late]
    return json.dumps(told, ensure_ascii=False, sort_keys=True, allow_nan=False)


def from_text(text: str, *, where: str) -> Snapshot:
    """The snapshot that a text holds. Raises BadRecord where it is none, or one of a newer form."""
    try:
        told = json.loads(text)
        form = told.pop("form")
    except (ValueError, KeyError, AttributeError, TypeError, RecursionError) as error:
        raise BadRecord("this is no snapshot of a study", where=where, todo="name another file") from error
    if form != FORM:
        raise BadRecord(
            f"a snapshot of form {form} is newer than this Evenhand", where=where, todo="update it"
        )
    known = {field.name for field in fields(Snapshot)}
    needed = {each.name for each in fields(Snapshot) if each.default is each.default_factory is MISSING}
    if set(told) - known or needed - set(told):
        raise BadRecord("this snapshot is not whole", where=where, todo=ANEW)
    return Snapshot(**told)


def from_stranger(data: bytes, *, where: str) -> Snapshot:
    """The snapshot that a file from elsewhere holds, every value of the sort that belongs there.

    Raises BadRecord where it is none, one of a newer form, or misshapen, and says where.
    """
    try:
        snapshot = from_text(data.decode(), where=where)
    except UnicodeDecodeError as error:
        raise BadRecord("this snapshot is no UTF-8 text", where=where, todo=ANEW) from error
    wrong = next(shape_troubles({each.name: getattr(snapshot, each.name) for each in fields(Snapshot)}), None)
    if wrong is not None:
        raise BadRecord(f"this snapshot was altered: {wrong}", where=where, todo=ANEW)
    return snapshot
