"""Devices that may take part over the network, and those that were shut out: only ever added to."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.devices import Device, Scope
from evenhand.store.rows import insert, legible, moment
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_ALL = (
    "SELECT devices.*, device_ends.at AS ended_at FROM devices"
    " LEFT JOIN device_ends ON device_ends.device = devices.id"
)


def add_device(wb: Workbench, device: Device) -> None:
    """Lets a device in. Raises BadRecord where its build is not on record."""
    row = {
        "id": device.id,
        "name": device.name,
        "scope": device.scope.value,
        "build": device.build,
        "token_hash": device.token_hash,
        "made_at": device.made_at.isoformat(),
    }
    with wb.writing() as conn:
        insert(conn, "devices", row)
        seal(conn, "devices", device.id)


def end_device(wb: Workbench, device: str, *, now: datetime) -> None:
    """Shuts a device out for good. Raises NotFound where there is none of this id."""
    with wb.writing() as conn:
        if conn.execute("SELECT 1 FROM devices WHERE id = ?", (device,)).fetchone() is None:
            raise NotFound(f"there is no device {device}", where=str(wb.path), todo="see the list of devices")
        conn.execute("INSERT OR IGNORE INTO device_ends VALUES (?, ?)", (device, now.isoformat()))
        seal(conn, "device_ends", device)


def devices(wb: Workbench) -> tuple[Device, ...]:
    """Every device there has been, in order of arrival."""
    with wb.reading() as conn:
        return tuple(map(device_from, conn.execute(f"{_ALL} ORDER BY devices.rowid")))


def device_by_hash(wb: Workbench, token_hash: str) -> Device | None:
    """The device whose token has this hash, shut out or not."""
    with wb.reading() as conn:
        row = conn.execute(f"{_ALL} WHERE token_hash = ?", (token_hash,)).fetchone()
    return None if row is None else device_from(row)


def device_from(row: sqlite3.Row) -> Device:
    """The device that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"device {row['id']}"):
        return Device(
            id=row["id"],
            name=row["name"],
            scope=Scope(row["scope"]),
            build=row["build"],
            token_hash=row["token_hash"],
            made_at=datetime.fromisoformat(row["made_at"]),
            ended_at=moment(row["ended_at"]),
        )
