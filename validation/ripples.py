"""What a change of the record moves, against a second look by a process that remembers nothing.

    python -m validation.ripples --changes 200

Each change is made to a fresh copy of the published example. The look through the opened workbench, which
keeps what it worked out before, must name exactly what a new process finds by working everything out again.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from evenhand.desk.demonstrating import decide_all, discover, write_raw
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.publication_answers import moves_answer
from evenhand.desk.publication.publishing import moved_since, publish
from evenhand.desk.runs.deciding import keep, set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.study.disclosing import disclose
from evenhand.records.builds import Part
from evenhand.records.prices import Price
from evenhand.records.publications import How
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import prices, shelves
from evenhand.store.workbench import Workbench

STUDY = "saltmarsh"
NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
GOAL_S = 2.0


def published(place: Path) -> Path:
    """The example on a workbench, decided and published."""
    write_raw(place / "study")
    file = place / "before.evenhand"
    with open_desk(file) as wb:
        import_folder(wb, place / "study", now=NOW)
        decide_all(wb, *discover(load_study(wb, STUDY).runs), now=NOW)
        publish(wb, STUDY, now=NOW)
    return file


def price(wb: Workbench, rng: random.Random) -> str:
    """Another price of one build."""
    study = shelves.one(wb, Study, STUDY)
    build = rng.choice(("plover", "dunlin", "wren"))
    minor = rng.randint(600, 1300)
    assert study.currency is not None
    on = date(2031, 5, 5) + timedelta(days=rng.randint(0, 30))
    prices.add_price(wb, Price(build=build, minor=minor, currency=study.currency, on=on), at=NOW)
    return f"{build} costs {minor}"


def exclusion(wb: Workbench, rng: random.Random) -> str:
    """A run that counts is set aside, or one that was set aside is kept."""
    each = rng.choice(load_study(wb, STUDY).runs)
    said = Said(now=NOW + timedelta(hours=1), note="tried")
    if each.state.counts:
        set_aside(wb, each.run.id, reason="other", said=said)
        return f"{each.run.label} is set aside"
    keep(wb, each.run.id, said=said)
    return f"{each.run.label} is kept"


def term(wb: Workbench, rng: random.Random) -> str:
    """Another margin, or another weight of an audience."""
    study = shelves.one(wb, Study, STUDY)
    if rng.random() < 0.5:
        shelves.save(wb, replace(study, margin=rng.choice((0.02, 0.025, 0.04, 0.05))), now=NOW)
        return "another margin"
    at = rng.randrange(len(study.audiences))
    games = float(rng.randint(5, 95))
    other = replace(study.audiences[at], groups={"games": games, "work": 100 - games})
    audiences = (*study.audiences[:at], other, *study.audiences[at + 1 :])
    shelves.save(wb, replace(study, audiences=audiences), now=NOW)
    return f"{other.key} weighs games {games:g}"


def note(wb: Workbench, rng: random.Random) -> str:
    """Another note of a part, or another version of a test."""
    if rng.random() < 0.5:
        part = rng.choice(shelves.every(wb, Part))
        shelves.save(wb, replace(part, note="second batch"), now=NOW)
        return f"a note of {part.key}"
    test = rng.choice(shelves.every(wb, Test))
    shelves.save(wb, replace(test, scene=f"{test.scene}, again"), now=NOW)
    return f"the scene of {test.key}"


def disclosure(wb: Workbench, rng: random.Random) -> str:
    """Something said of a part."""
    part, how = rng.choice(shelves.every(wb, Part)), rng.choice(tuple(How))
    disclose(wb, part.key, how, by="somebody", note="", now=NOW)
    return f"{part.key}: {how}"


CHANGES: tuple[Callable[[Workbench, random.Random], str], ...] = (price, exclusion, term, note, disclosure)


def seen_anew(file: Path) -> list[Mapping[str, object]]:
    """What a new process says moved."""
    code = (
        "import json, sys; from pathlib import Path; from evenhand.desk.opening import open_desk\n"
        "from evenhand.desk.publication.publication_answers import moves_answer\n"
        "from evenhand.desk.publication.publishing import moved_since\n"
        "with open_desk(Path(sys.argv[1])) as wb:\n"
        "    print(json.dumps(moves_answer(moved_since(wb, sys.argv[2])[1])))"
    )
    command = [sys.executable, "-c", code, str(file), STUDY]
    said = subprocess.run(command, check=True, capture_output=True, text=True)
    found: list[Mapping[str, object]] = json.loads(said.stdout)
    return found


def main() -> None:
    """Makes the changes one by one, each on a copy, and tells how many were named exactly."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--changes", type=int, default=200)
    parser.add_argument("--seed", type=int, default=11)
    given = parser.parse_args()
    rng = random.Random(given.seed)
    exact, took, things = 0, [], []
    with tempfile.TemporaryDirectory() as made:
        before = published(Path(made))
        for n in range(given.changes):
            file = Path(made) / "changed.evenhand"
            shutil.copy(before, file)
            with open_desk(file) as wb:
                moved_since(wb, STUDY)  # what the reviewer's open workbench has worked out already
                words = CHANGES[n % len(CHANGES)](wb, rng)
                begun = time.perf_counter()
                own = moves_answer(moved_since(wb, STUDY)[1])
                took.append(time.perf_counter() - begun)
            same = own == seen_anew(file)
            exact += same
            things.append(len(own))
            if not same:
                print(f"differs: {words}")
    took.sort()
    print(f"{exact} of {given.changes} changes named exactly; seed {given.seed}")
    print(f"things moved by one: median {sorted(things)[len(things) // 2]}, most {max(things)}")
    late = sum(each > GOAL_S for each in took)
    print(f"time: median {took[len(took) // 2]:.2f} s, most {took[-1]:.2f} s, over {GOAL_S:g} s: {late}")


if __name__ == "__main__":
    main()
