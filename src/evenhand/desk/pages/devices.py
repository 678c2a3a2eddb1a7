"""The page of devices: who may take part over the network, and a link for the next one."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.admitting import all_devices
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital, counted
from evenhand.records.builds import Build
from evenhand.records.devices import Device, Scope
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceLine:
    """One device in the list."""

    id: str
    name: str
    what: str
    may: str
    since: str
    allowed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DevicesPage:
    """The answer in a sentence, the devices, and the builds that a rig may be."""

    answer: str
    devices: tuple[DeviceLine, ...]
    builds: tuple[tuple[str, str], ...]
    scopes: tuple[tuple[str, str], ...]


def devices_page(wb: Workbench) -> DevicesPage:
    """Everybody who was ever let in, those who still are first."""
    builds = shelves.every(wb, Build)
    found = sorted(all_devices(wb), key=lambda device: not device.allowed)
    return DevicesPage(
        answer=answer_of(sum(device.allowed for device in found)),
        devices=tuple(line_of(device, {b.key: b.name for b in builds}) for device in found),
        builds=tuple((build.key, build.name) for build in builds),
        scopes=tuple((scope.value, scope.meaning) for scope in Scope),
    )


def answer_of(allowed: int) -> str:
    """What the page opens with.

    >>> answer_of(1), answer_of(0)
    ('One device may take part.', 'Nobody but this computer takes part yet.')
    """
    if not allowed:
        return "Nobody but this computer takes part yet."
    return f"{capital(counted(allowed, 'device'))} may take part."


def line_of(device: Device, builds: dict[str, str]) -> DeviceLine:
    """One device in words."""
    rig = f"rig: {builds.get(device.build, device.build)}" if device.build else device.scope.value
    ended = f", shut out on {day_words(device.ended_at)}" if device.ended_at else ""
    return DeviceLine(
        id=device.id,
        name=device.name,
        what=rig,
        may=device.scope.meaning,
        since=f"let in on {day_words(device.made_at)}{ended}",
        allowed=device.allowed,
    )
