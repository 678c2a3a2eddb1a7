"""Let a rig, a phone or a program take part, know it again by its token, and shut it out."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime

from evenhand.errors import BadRecord
from evenhand.records.builds import Build, Setup
from evenhand.records.devices import Device, Scope
from evenhand.records.studies import Study
from evenhand.store import devices, shelves
from evenhand.store.workbench import Workbench

TOKEN_BYTES = 32  # 256 bits of the system's own randomness: nobody guesses it, so its hash needs no salt
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Admitted:
    """A device that was just let in. Its token is told this once and kept as a hash only."""

    device: Device
    token: str


def admit(wb: Workbench, *, name: str, scope: Scope, now: datetime, build: str | None = None) -> Admitted:
    """Lets a device in; a rig is one of the builds on record. Raises BadRecord where its name will not do."""
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME:
        raise BadRecord(
            "a device needs a name" if not name else f"the name is longer than {LONGEST_NAME} characters",
            where="name",
            todo="call it what it is, such as 'left bench' or 'phone'",
        )
    if scope is Scope.RIG and build is not None:
        shelves.one(wb, Build, build)
    token = secrets.token_urlsafe(TOKEN_BYTES)
    device = Device(
        id=secrets.token_hex(6),
        name=name,
        scope=scope,
        token_hash=hash_of(token),
        made_at=now,
        build=build if scope is Scope.RIG else None,
    )
    devices.add_device(wb, device)
    return Admitted(device=device, token=token)


def known_by(wb: Workbench, token: str) -> Device | None:
    """The device with this token, unless it was shut out."""
    device = devices.device_by_hash(wb, hash_of(token))
    return device if device is not None and device.allowed else None


def shut_out(wb: Workbench, device: str, *, now: datetime) -> None:
    """Shuts a device out for good; its token opens nothing from now on. Raises NotFound."""
    devices.end_device(wb, device, now=now)


def all_devices(wb: Workbench) -> tuple[Device, ...]:
    """Every device there has been, in order of arrival."""
    return devices.devices(wb)


def of_other_studies(wb: Workbench, study: str) -> frozenset[str]:
    """The devices that make no runs of this study: those of builds that are not in it. Raises NotFound."""
    setups = shelves.one(wb, Study, study).setups
    builds = {shelves.one(wb, Setup, key).build for key in setups}
    return frozenset(
        each.id for each in all_devices(wb) if each.build is not None and each.build not in builds
    )


def hash_of(token: str) -> str:
    """SHA-256 of a token, in hex."""
    return hashlib.sha256(token.encode()).hexdigest()
