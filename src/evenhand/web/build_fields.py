"""The fields of builds, setups and parts: out of records into forms, and what was sent back again."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.datastructures import FormData

from evenhand.desk.study.building import KINDS, NamedPart
from evenhand.records.builds import Build, Part, Setup
from evenhand.web.forms import Reader, Reading, typed, typed_all

Values = dict[str, str | tuple[str, ...]]
STAMPS = ("firmware", "os", "driver", "power plan")
EXTRA = "extra"  # rows for parts of further kinds, and for a second one of a kind


def build_values(build: Build, parts: Mapping[str, Part]) -> Values:
    """What stands in the fields of a build: the first part of each usual kind at its own field."""
    values: Values = {"name": build.name, "slot": str(build.slot), "note": build.note}
    further: list[Part] = []
    for part in (parts[key] for key in build.parts):
        place = f"part-{part.kind}"
        if part.kind in KINDS and place not in values:
            values[place] = part.name
        else:
            further.append(part)
    values[f"{EXTRA}-name"] = tuple(part.kind for part in further)
    values[f"{EXTRA}-value"] = tuple(part.name for part in further)
    return values


def new_build_values(free: tuple[int, ...]) -> Values:
    """A new build wears the first colour that is free."""
    return {"slot": str(free[0]) if free else "", "state": "stock", **stamp_values({})}


def read_build(sent: FormData) -> Reading:
    """A build; the parts in the order of their fields."""
    reader = Reader(sent)
    slot = reader.text("slot")
    usual = [NamedPart(kind=kind, name=name) for kind in KINDS if (name := reader.text(f"part-{kind}"))]
    further = [
        NamedPart(kind=kind, name=name)
        for kind, name in zip(
            typed_all(sent, f"{EXTRA}-name"), typed_all(sent, f"{EXTRA}-value"), strict=False
        )
        if kind or name
    ]
    if any(not (part.kind and part.name) for part in further):
        reader.errors[EXTRA] = "A further part needs both its kind and its name."
    given = {"slot": int(slot)} if slot.isascii() and slot.isdigit() and len(slot) < 3 else {}
    return reader.done(name=reader.text("name"), note=reader.text("note"), parts=[*usual, *further], **given)


def stamp_values(stamps: Mapping[str, str]) -> Values:
    """The stamps of a setup, with room for the usual ones."""
    usual = {name: "" for name in STAMPS if name not in stamps}
    told = {**{name: stamps[name] for name in stamps}, **usual}
    return {"stamps-name": tuple(told), "stamps-value": tuple(told.values())}


def setup_values(setup: Setup, build: Build) -> Values:
    """What stands in the fields of a setup; a name made of its build's and its state is not its own."""
    name = "" if setup.name == f"{build.name}, {setup.state}" else setup.name
    return {"build": setup.build, "name": name, "state": setup.state, **stamp_values(setup.stamps)}


def read_setup(sent: FormData) -> Reading:
    """A setup; an empty name is made of its build's and its state."""
    reader = Reader(sent)
    return reader.done(
        build=reader.text("build"),
        state=reader.text("state"),
        stamps=reader.rows("stamps", spared=STAMPS),
        name=reader.words("name"),
    )


def read_first_setup(sent: FormData) -> Reading:
    """The setup that comes with a new build."""
    reader = Reader(sent)
    return reader.done(state=typed(sent, "state"), stamps=reader.rows("stamps", spared=STAMPS))


def part_values(part: Part) -> Values:
    """What stands in the fields of a part."""
    return {"kind": part.kind, "name": part.name, "note": part.note}


def read_part(sent: FormData) -> Reading:
    """A part."""
    reader = Reader(sent)
    return reader.done(kind=reader.text("kind"), name=reader.text("name"), note=reader.text("note"))
