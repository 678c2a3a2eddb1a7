"""The Saltmarsh workshop on paper: the study, its parts, builds, setups and tests. All of it is invented."""

from __future__ import annotations

from evenhand.demo.schedule import GAME_MINUTES
from evenhand.demo.truth import (
    DRIVER,
    DUNLIN,
    GAMES,
    MACHINES,
    MARGIN,
    PAID,
    PLOVER,
    PRICED_ON,
    RESOLUTION,
    ROOM_C,
    SWAPPED,
    SYSTEM,
    TASKS,
    WREN,
    Game,
    Task,
)
from evenhand.records.audiences import Audience
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency, Price
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test

_PARTS = {
    WREN: (
        ("brellow-ash-4", "processor", "Brellow Ash 4"),
        ("nimtal-quay-b", "board", "Nimtal Quay B"),
        ("harrowfen-lantern-20", "graphics", "Harrowfen Lantern 20"),
        ("osk-450", "supply", "Osk & Dunsolt 450"),
    ),
    PLOVER: (
        ("brellow-ash-6", "processor", "Brellow Ash 6"),
        ("nimtal-quay-b2", "board", "Nimtal Quay B, second revision"),
        ("harrowfen-lantern-40", "graphics", "Harrowfen Lantern 40"),
        ("osk-650", "supply", "Osk & Dunsolt 650"),
    ),
    DUNLIN: (
        ("brellow-elm-8", "processor", "Brellow Elm 8"),
        ("nimtal-mole-x", "board", "Nimtal Mole X"),
        ("harrowfen-lantern-36", "graphics", "Harrowfen Lantern 36"),
        ("osk-650", "supply", "Osk & Dunsolt 650"),
    ),
}
_COMMON = (
    ("nimtal-pair-32", "memory", "Nimtal Pair 32 GiB"),
    ("harrowfen-slate-1", "storage", "Harrowfen Slate 1 TB"),
    ("osk-crate", "case", "Osk & Dunsolt Crate"),
    ("brellow-breeze", "cooler", "Brellow Breeze"),
)
_ON_SHELF = (  # in no machine: what could be changed later
    ("harrowfen-lantern-60", "graphics", "Harrowfen Lantern 60"),
    ("nimtal-quay-c", "board", "Nimtal Quay C"),
)
_FIRMWARE = {WREN: "B7", PLOVER: "B9", DUNLIN: "X3"}
COMPARED = (PLOVER, DUNLIN, WREN)  # the two at about one budget first: the pair the study is about
_SLOTS = {WREN: 1, PLOVER: 2, DUNLIN: 3} | {
    swap.machine.key: slot for slot, swap in enumerate(SWAPPED, start=4)
}
_LIKE = {machine.key: machine.key for machine in MACHINES} | {swap.machine.key: swap.like for swap in SWAPPED}
_EVERY = (*MACHINES, *(swap.machine for swap in SWAPPED))  # those that are compared, and the swap


def setup_key(machine: str) -> str:
    """The key of a machine's setup."""
    return f"{machine}-mild"


# Who uses the room: what is written down before anybody looks.
DRELL = Currency(symbol="dl", decimals=0)
SAVED = 22  # for changes, every month
DESK = 250  # screen and desk, which come with any machine
BY_DAY, DAY_AND_NIGHT = (900.0, 1500.0), (1800.0, 2600.0)  # hours a year at such a load
TARIFF = ("0.28", "0.36")  # drell a kilowatt-hour
AUDIENCES = tuple(
    Audience(
        key=key, name=name, told=told, groups={"games": play, "work": 100 - play}, fixed_minor=fixed,
        hours_a_year=hours, tariff_minor=TARIFF,
    )
    for key, name, told, play, fixed, hours in (
        ("mostly-play", "Mostly play", "80 of 100 hours are play: the workshop's own room", 80.0, 0, BY_DAY),
        ("half-and-half", "Half and half", "play by day, editing by night", 50.0, 0, DAY_AND_NIGHT),
        ("mostly-editing", "Mostly editing", "20 of 100 hours are play", 20.0, 0, BY_DAY),
        ("new-seats", "Mostly play, new seats", "as the first, and a screen and desk", 80.0, DESK, BY_DAY),
    )
)  # fmt: skip

STUDY = Study(
    key="saltmarsh",
    title="Three machines for the Saltmarsh video workshop",
    question="Which machine should the workshop buy for play and video editing?",
    audience="a community workshop that mostly plays and also edits, in a warm harbour town",
    budget="about 1,000 drell a seat for the machine alone; screen and desk come to 250 more",
    setups=tuple(setup_key(key) for key in COMPARED),
    tests=tuple(test.key for test in (*GAMES, *TASKS)),
    margin=MARGIN,
    ambient_c=ROOM_C,
    currency=DRELL,
    audiences=AUDIENCES,
    money=MoneyTerms(resale=(0.65, 0.85), fall=(0.2, 0.3), saved_minor=SAVED),
)

PRICES = tuple(
    Price(build=build, minor=minor, currency=DRELL, on=PRICED_ON, note="counter price, tax inside")
    for build, minor in PAID.items()
)

PARTS = tuple(
    Part(key=key, kind=kind, name=name)
    for key, kind, name in dict.fromkeys(
        (*_PARTS[WREN], *_PARTS[PLOVER], *_PARTS[DUNLIN], *_COMMON, *_ON_SHELF)
    )
)


def _parts_of(machine: str) -> tuple[str, ...]:
    """The keys of a machine's parts; a swap has those it is like, and the other's graphics card."""
    swap = next((swap for swap in SWAPPED if swap.machine.key == machine), None)
    own = {kind: key for key, kind, _ in (*_PARTS[_LIKE[machine]], *_COMMON)}
    if swap is not None:
        own["graphics"] = next(key for key, kind, _ in _PARTS[swap.graphics_of] if kind == "graphics")
    return tuple(own.values())


BUILDS = tuple(
    Build(
        key=machine.key,
        name=machine.name,
        slot=_SLOTS[machine.key],
        parts=_parts_of(machine.key),
    )
    for machine in _EVERY
)

SETUPS = tuple(
    Setup(
        key=setup_key(machine.key),
        name=f"{machine.name}, mild tune",
        build=machine.key,
        state="mild tune",
        stamps={
            "firmware": _FIRMWARE[_LIKE[machine.key]],
            "os": SYSTEM,
            "driver": DRIVER,
            "power plan": "even",
        },
    )
    for machine in _EVERY
)


def _game(game: Game) -> Test:
    return Test(
        key=game.key,
        name=game.name,
        measures=Measures.FRAMES,
        metric="average_fps",
        unit="fps",
        direction=Direction.HIGHER,
        stresses=game.stresses,
        scene=game.scene,
        version=game.version,
        settings={"resolution": RESOLUTION, "quality": "high"},
        group="games",
        also=("low_1pct",),
        minutes=float(GAME_MINUTES),
    )


def _task(task: Task) -> Test:
    return Test(
        key=task.key,
        name=task.name,
        measures=Measures.SCORE,
        metric="score",
        unit=task.unit,
        direction=Direction.HIGHER,
        stresses=task.stresses,
        scene=task.scene,
        group="work",
        minutes=task.minutes,
    )


TESTS = (*map(_game, GAMES), *map(_task, TASKS))
