"""Tuned parts, of which the last written down stands, and the limits that their makers set."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from evenhand.records.trials import Limit, Quantity, Tuned
from evenhand.records.turns import Turn
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

LIMITS = Ledger(
    table="maker_limits", back="maker_limits_taken_back", noun="maker_limit",
    again="maker_limits_reconsidered",
)  # fmt: skip

_LAST = "id IN (SELECT max(id) FROM tuned_parts GROUP BY setup, part)"


def save_tuned(wb: Workbench, tuned: Tuned, *, at: datetime) -> bool:
    """Puts a tuned part on record, without its limits; False where it stands there so already."""
    with wb.writing() as conn:
        before = tuned_one(wb, tuned.setup, tuned.part)
        if before is not None and replace(before, limits=tuned.limits) == tuned:
            return False
        row: Row = {
            "setup": tuned.setup, "part": tuned.part, "stock_clock_mhz": tuned.stock_clock_mhz,
            "stock_voltage_mv": tuned.stock_voltage_mv, "clock_step_mhz": tuned.clock_step_mhz,
            "voltage_step_mv": tuned.voltage_step_mv, "offset": int(tuned.offset),
            "hottest_room_c": tuned.hottest_room_c, "at": at.isoformat(),
        }  # fmt: skip
        seal(conn, "tuned_parts", insert(conn, "tuned_parts", row))
    return True


def add_limit(
    wb: Workbench, setup: str, part: str, limit: Limit, *, at: datetime, twice: bool = False
) -> Limit:
    """Puts a limit of a part's maker on record; the limit with its number. The very same again is one.

    With `twice` it is another, as it is where the first had been taken back when the second came.
    """
    with wb.writing() as conn:
        for there in () if twice else _limits(wb, [setup]).get((setup, part), ()):
            if replace(there, id=limit.id) == limit:
                return there
        row = {
            "setup": setup, "part": part, "quantity": limit.quantity.value, "most": limit.most,
            "source": limit.source, "read_on": limit.read_on.isoformat(), "at": at.isoformat(),
        }  # fmt: skip
        return replace(limit, id=LIMITS.add(conn, row))


def take_back_limit(wb: Workbench, number: int, reason: str, *, at: datetime) -> Limit:
    """A limit that was a mistake counts no more. Raises NotFound where none of this number counts."""
    return _limit(LIMITS.take_back(wb, number, at=at, todo="see the limits of the part", reason=reason))


def put_back_limit(wb: Workbench, number: int, reason: str, *, at: datetime) -> Limit:
    """A limit that had been taken back counts again. Raises NotFound where none of this number is."""
    return _limit(LIMITS.put_back(wb, number, at=at, todo="see the limits of the part", reason=reason))


def limit_turns(wb: Workbench) -> dict[int, tuple[Turn, ...]]:
    """By limit each time that it was taken back or put back, the first first."""
    with wb.reading() as conn:
        return LIMITS.turns(conn)


def tuned_parts(wb: Workbench, setups: Iterable[str]) -> tuple[Tuned, ...]:
    """The tuned parts of these setups with the limits that count, in order of arrival."""
    keys = tuple(setups)
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM tuned_parts WHERE setup IN (SELECT value FROM json_each(?)) "  # noqa: S608
            f"AND {_LAST} ORDER BY id",
            (as_text(keys),),
        ).fetchall()
        limits = _limits(wb, keys)
    return tuple(replace(t, limits=limits.get((t.setup, t.part), ())) for t in map(_tuned, rows))


def tuned_ever(wb: Workbench, setups: Iterable[str]) -> tuple[tuple[datetime, Tuned], ...]:
    """Every state that tuned parts of these setups were written down in, with its moment, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM tuned_parts WHERE setup IN (SELECT value FROM json_each(?)) ORDER BY id",
            (as_text(tuple(setups)),),
        ).fetchall()
    return tuple((datetime.fromisoformat(row["at"]), _tuned(row)) for row in rows)


def tuned_one(wb: Workbench, setup: str, part: str) -> Tuned | None:
    """A setup's tuned part with its limits; None where it is not on record."""
    return next((tuned for tuned in tuned_parts(wb, [setup]) if tuned.part == part), None)


def limits_ever(wb: Workbench, setup: str, part: str) -> tuple[Limit, ...]:
    """Every limit of a part that was ever on record, those taken back, too."""
    return _limits(wb, [setup], ever=True).get((setup, part), ())


def _limits(
    wb: Workbench, setups: Iterable[str], *, ever: bool = False
) -> dict[tuple[str, str], tuple[Limit, ...]]:
    with wb.reading() as conn:
        rows = LIMITS.rows_of(conn, "setup", setups, ever=ever, order="id")
    found: dict[tuple[str, str], tuple[Limit, ...]] = {}
    for row in rows:
        place = (row["setup"], row["part"])
        found[place] = (*found.get(place, ()), _limit(row))
    return found


def _tuned(row: sqlite3.Row) -> Tuned:
    with legible(f"tuned part {row['id']}"):
        return Tuned(
            setup=row["setup"], part=row["part"], stock_clock_mhz=row["stock_clock_mhz"],
            stock_voltage_mv=row["stock_voltage_mv"], clock_step_mhz=row["clock_step_mhz"],
            voltage_step_mv=row["voltage_step_mv"], offset=bool(row["offset"]),
            hottest_room_c=row["hottest_room_c"],
        )  # fmt: skip


def _limit(row: sqlite3.Row) -> Limit:
    with legible(f"maker's limit {row['id']}"):
        return Limit(
            id=row["id"], quantity=Quantity(row["quantity"]), most=row["most"], source=row["source"],
            read_on=date.fromisoformat(row["read_on"]),
        )  # fmt: skip
