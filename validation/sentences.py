"""How many overclaims the sentence check catches, and how many sound sentences it objects to.

`python -m validation.sentences` prints rates for every part of the set; of the second half and the kept parts
nothing but rates, since they are kept from whoever writes rules. `--first` tells what went wrong in the first
half, `--third`, `--fourth`, `--fifth`, `--seventh`, `--eighth`, `--ninth`, `--tenth` and `--twelfth` in these
later sets, which may be read since they were measured.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from tests.prose.sentence_sets import HALVES, LATER, PARTS, Labelled, sentences

from evenhand.desk.demonstrating import decide_all, discover, write_raw
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.scripts import ground_of
from evenhand.prose.checking import check
from evenhand.prose.ground import Ground
from evenhand.prose.objection import Objection
from evenhand.prose.rules import rules
from evenhand.prose.script import parse
from evenhand.records.publications import How
from evenhand.store.workbench import open_workbench

NOW = datetime(2026, 11, 28, tzinfo=UTC)
HOW = {"affiliate link": "link"}
OPEN = (HALVES[0], *LATER)
"""The parts that writers of rules may read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A sentence of the set and what was objected to in it."""

    labelled: Labelled
    objections: tuple[Objection, ...]

    @property
    def right(self) -> bool:
        """Whether it was objected to just where it goes too far."""
        return bool(self.objections) is not self.labelled.sound


def example() -> Ground:
    """The example as its reviewer decided it."""
    with tempfile.TemporaryDirectory() as folder, open_workbench(Path(folder) / "w.evenhand") as wb:
        write_raw(Path(folder) / "study")
        import_folder(wb, Path(folder) / "study", now=NOW)
        decide_all(wb, *discover(load_study(wb, "saltmarsh").runs), now=NOW)
        return ground_of(wb, load_study(wb, "saltmarsh"))


def judged(labelled: Labelled, ground: Ground) -> Judged:
    """A sentence behind its script, objections in what comes before left out."""
    own = rules()
    before = labelled.before.rstrip()
    joint = "" if not before else "\n\n" if before.splitlines()[-1].startswith("#") else " "
    disclosures: dict[str, tuple[How, ...]] = {}
    for each in labelled.disclosures:
        how = How(HOW.get(each["how"], each["how"]))
        disclosures[each["part"]] = (*disclosures.get(each["part"], ()), how)
    here = replace(ground, disclosures=disclosures)
    script = parse(before + joint + labelled.text, abbreviations=own.abbreviations)
    start = len(before + joint)
    found = tuple(o for o in check(script, here, own) if o.place.start >= start)
    return Judged(labelled=labelled, objections=found)


def rates(half: str, every: tuple[Judged, ...]) -> Iterator[str]:
    """Rates of one half, by way."""
    over = [j for j in every if not j.labelled.sound]
    sound = [j for j in every if j.labelled.sound]
    caught, alarms = sum(j.right for j in over), sum(not j.right for j in sound)
    told = f"caught {caught} of {len(over)} overclaims ({caught / len(over):.1%})"
    yield f"{half}: {told}, objected to {alarms} of {len(sound)} sound sentences ({alarms / len(sound):.1%})"
    ways = Counter(j.labelled.ways[0] for j in over)
    missed = Counter(j.labelled.ways[0] for j in over if not j.right)
    yield "  " + ", ".join(f"{way} {n - missed[way]}/{n}" for way, n in sorted(ways.items()))


def wrong(every: tuple[Judged, ...]) -> Iterator[str]:
    """What went wrong, told in full; for parts that are open only."""
    for one in every:
        if not one.right:
            yield f"{'FALSE' if one.labelled.sound else 'MISSED'} {one.labelled.ways} {one.labelled.text}"
            yield from (f"    {o.rule}: '{o.excerpt}' {o.reason} [{o.taken_for}]" for o in one.objections)


def main(arguments: list[str]) -> None:
    """Print rates; with --first, --third or another open part what went wrong in it, nothing of others."""
    ground = example()
    asked = tuple(part for part in OPEN if f"--{part.partition('_')[0]}" in arguments)
    for part in asked or PARTS:
        every = tuple(judged(each, ground) for each in sentences(part))
        print("\n".join(rates(part, every)))
        if asked:
            print("\n".join(wrong(every)))


if __name__ == "__main__":
    main(sys.argv[1:])
