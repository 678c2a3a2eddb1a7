"""A plan of bench days: which run is made next, on which boot, and when the results are looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One run that is to be made.

    `number` is its place in the plan, from 1; `block` groups slots whose setups stand balanced against each
    other; `boot` names the start of the rig that it belongs to; `minutes` is how long it takes, restart and
    warm-up included, of which `warm_up` minutes are warm-up. Slots of one `turn` are run at the same time,
    each on its own rig. `day` is the bench day, from 1.
    """

    number: int
    block: int
    test: str
    setup: str
    boot: str
    order: int
    minutes: float
    warm_up: float = 0.0
    turn: int = 0
    day: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The runs that a study still needs, in the order in which they are made. Never changed, only followed.

    `looks` are the numbers of runs a setup and test at which the results are looked at, declared before
    data; `seed` gives the same order again; `id` is 0 before the plan is on record.
    """

    study: str
    at: datetime
    seed: int
    looks: tuple[int, ...]
    slots: tuple[Slot, ...]
    note: str = ""
    id: int = 0

    def slot(self, number: int) -> Slot | None:
        """The slot of this number."""
        return next((slot for slot in self.slots if slot.number == number), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchNote:
    """What somebody wrote about a slot before or while it was run; the last one under a key holds.

    Keys are `ambient_c`, `wall_w`, `skip` and `note`.
    """

    plan: int
    slot: int
    key: str
    value: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A picture of a slot or a run, such as a photo of the settings: its bytes by their SHA-256."""

    study: str
    digest: str
    name: str
    media: str
    by: str
    at: datetime
    plan: int | None = None
    slot: int | None = None
    run: str | None = None
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A file that came in by itself: its bytes are kept before anybody knows what it is.

    `by` says who brought it ("folder", "browser", or a device's name); `about` is what came with it in words,
    by the field of the run that it would fill.
    """

    digest: str
    name: str
    by: str
    at: datetime
    about: Mapping[str, str] = field(default_factory=dict)
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """What became of an arrival: the run it was filed as, or nothing, with the reason in `note`.

    An arrival without a placing, or whose last one names no run and is not `away`, waits in the inbox.
    """

    arrival: int
    study: str | None
    by: str
    at: datetime
    run: str | None = None
    plan: int | None = None
    slot: int | None = None
    away: bool = False
    note: str = ""
