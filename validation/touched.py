"""What a change touches of a published script and its cards, against all of it published anew.

    python -m validation.touched --changes 200

The example goes out with a script of its own sentences: every figure by its reference, and every sentence
that stands, once without its numbers and once with each number as a reference. Each change is made to a fresh
copy. The opened workbench, which keeps what it worked out before, then tells what moved, and which figures,
sentences and cards are touched. A process that remembers nothing freezes, checks and draws everything anew: a
figure is touched where it is printed otherwise, a sentence where the record has no such sentence any more, or
where it went out against an objection and another is made to it now, a card where one byte of its drawing is
another. With `--own` the example goes out with its own script, of which nothing but the check knows which
sentences stand: its figures and cards are held, and what telling takes.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from statistics import median
from typing import Any

from evenhand.demo.narration import checked_draft
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.narrating import checked_now, keep_script, quotables_of
from evenhand.desk.publication.publishing import Told, opened, publish
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.publication.spoken_scripts import objected_rows
from evenhand.desk.publication.touching import Ripple, digest_of_card, ripple
from evenhand.editions.moved import Move, moved
from evenhand.editions.snapshot import Snapshot, as_text, from_text
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import WITH_RANGE
from evenhand.prose.script import parse
from evenhand.publish.style import Medium
from evenhand.records.publications import How
from evenhand.store.workbench import Workbench
from validation.changes import CHANGES, NOW, STUDY, Change, example
from validation.own_sentences import Line, keys_of, line_number, lines_of, praised, script_of

GOAL_S = 2.0
_BETWEEN = re.compile("[;:,] ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What went out: its snapshot, its script, the sentences of which it is known what they stand on, those
    that stood, its figures, cards by name.
    """

    snapshot: Snapshot
    script: str
    lines: tuple[Line, ...]
    stood: frozenset[int]
    figures: Quotables
    cards: Mapping[str, str]

    @property
    def references(self) -> Iterator[tuple[int, str, str]]:
        """Every reference of the script: its line, the address as it is written, and what is told of it."""
        script = parse(self.script)
        for each in (reference for piece in script.said for reference in piece.references):
            told = "ranged" if each.form == WITH_RANGE else "words"
            yield script.place(each.start, each.end).line, each.address, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Anew:
    """A study frozen and drawn by a process that remembers nothing; `cards` are digests by name.

    `objected` is what is objected to in its script: the line, and the reason.
    """

    snapshot: Snapshot
    cards: Mapping[str, str]
    objected: frozenset[tuple[int, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What was told beside what is so: what is touched and was not told, and what was told and is not."""

    told: frozenset[str]
    so: frozenset[str]

    @property
    def missed(self) -> list[str]:
        """What nobody was told of."""
        return sorted(self.so - self.told)

    @property
    def too_many(self) -> list[str]:
        """What stands, and was told to be touched."""
        return sorted(self.told - self.so)


def published(wb: Workbench, study: str = STUDY, *, script: str = "") -> Before:
    """Publishes a study with a script, one of its own sentences where none is given; what went out."""
    record = load_study(wb, study)
    snapshot = snapshot_now(wb, record)
    figures = quotables_of(record, snapshot)
    lines = () if script else tuple(lines_of(snapshot, figures))
    keep_script(wb, study, script or script_of(lines), by="somebody", now=NOW)
    out = opened(publish(wb, study, Told(override="to be held against"), now=NOW).edition)
    objected = {row["line"] for row in out.objected}
    stood = frozenset(line_number(at) for at in range(len(lines))) - objected
    return Before(
        snapshot=out, script=script or script_of(lines), lines=lines, stood=stood, figures=figures,
        cards=anew(wb, study)["cards"],
    )  # fmt: skip


def anew(wb: Workbench, study: str = STUDY) -> dict[str, Any]:
    """All that is said, objected to and drawn of a study on this workbench."""
    record = load_study(wb, study)
    cards = {one.name: digest_of_card(one) for one in cards_of(wb, record, medium=Medium.WIDE)}
    checked = checked_now(wb, study)
    objected = [(row["line"], row["reason"]) for row in objected_rows(checked)]
    return {"snapshot": as_text(snapshot_now(wb, record)), "cards": cards, "objected": objected}


def seen_anew(file: Path) -> Anew:
    """The same by a new process."""
    code = (
        "import json, sys; from pathlib import Path; from evenhand.desk.opening import open_desk\n"
        "from validation.touched import anew\n"
        "with open_desk(Path(sys.argv[1])) as wb:\n"
        "    print(json.dumps(anew(wb)))"
    )
    said = subprocess.run([sys.executable, "-c", code, str(file)], check=True, capture_output=True, text=True)
    return as_anew(json.loads(said.stdout))


def as_anew(found: Mapping[str, Any]) -> Anew:
    """What was said and drawn, as it is held against."""
    return Anew(
        snapshot=from_text(found["snapshot"], where="anew"), cards=found["cards"],
        objected=frozenset((line, reason) for line, reason in found["objected"]),
    )  # fmt: skip


def held(before: Before, found: Ripple, now: Anew) -> Held:
    """All that was told as moved or touched, against all that is."""
    told = (
        *map(_move, found.moves),
        *(f"figure in line {each.line}: {each.address}" for each in found.figures),
        *(f"sentence in line {each.line}" for each in found.sentences if before.lines),
        *(f"card {each.name}" for each in found.cards),
    )
    so = (
        *map(_move, moved(before.snapshot, now.snapshot)),
        *_figures(before, now),
        *_sentences(before, now),
        *_cards(before, now),
    )
    return Held(told=frozenset(told), so=frozenset(so))


def _move(move: Move) -> str:
    said = (" ".join(sorted(_BETWEEN.split(each or ""))) for each in (move.before, move.after))
    return f"move of {move.of}, {move.name}: {' → '.join(said)}"  # the entries of tables in any order


def _figures(before: Before, now: Anew) -> Iterator[str]:
    for line, address, told in before.references:
        was = before.figures.find(address)
        if getattr(was, told) != now.snapshot.figures.get(was.address, {}).get(told):
            yield f"figure in line {line}: {address}"


def _sentences(before: Before, now: Anew) -> Iterator[str]:
    stand = keys_of(now.snapshot)
    gone = {line for line, address, _ in before.references if not _there(before, address, now)}
    gone |= set(_undisclosed(before, now))
    for at, each in enumerate(before.lines):
        line = line_number(at)
        stood = line in before.stood
        reasons = {reason for place, reason in now.objected if place == line}
        otherwise = line in gone if stood else reasons != objected_in(line, before)
        if otherwise or (each.key and each.key not in stand):
            yield f"sentence in line {line}"


def objected_in(line: int, before: Before) -> set[str]:
    """What was objected to in a line when it went out."""
    return {row["reason"] for row in before.snapshot.objected if row["line"] == line}


def _undisclosed(before: Before, now: Anew) -> Iterator[int]:
    """For each disclosure on record the first line that praises a build with its part: it had to be told."""
    names = {row["key"]: row["build_name"] for row in now.snapshot.setups}
    inside = {row["key"]: {part["key"] for part in row["parts"]} for row in now.snapshot.setups}
    for told in now.snapshot.disclosures:
        if told["how"] != How.BOUGHT:
            own = (
                line_number(at) for at, each in enumerate(before.lines)
                if told["part"] in inside.get(praised(each.words, names), ())
            )  # fmt: skip
            yield from islice(own, 1)


def _there(before: Before, address: str, now: Anew) -> bool:
    return before.figures.find(address).address in now.snapshot.figures


def _cards(before: Before, now: Anew) -> Iterator[str]:
    return (f"card {name}" for name, digest in before.cards.items() if now.cards.get(name) != digest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One change: in words, what was told of it beside what is so, and what telling took, also of a core."""

    words: str
    held: Held
    took_s: float
    cpu_s: float


def tried(place: Path, before: Before, change: Change, rng: random.Random) -> Tried:
    """One change, made to a copy of the workbench `before.evenhand` in `place`."""
    file = place / "changed.evenhand"
    shutil.copy(place / "before.evenhand", file)
    with open_desk(file) as wb:
        ripple(wb, STUDY)  # what the reviewer's open workbench has worked out already
        words = change(wb, STUDY, rng)
        begun = time.perf_counter(), time.process_time()
        found = ripple(wb, STUDY)
        took_s, cpu_s = time.perf_counter() - begun[0], time.process_time() - begun[1]
    return Tried(words=words, held=held(before, found, seen_anew(file)), took_s=took_s, cpu_s=cpu_s)


def main() -> None:
    """Makes the changes one by one, and tells how much of what they touch was told, and nothing else."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--changes", type=int, default=200)
    parser.add_argument("--seed", type=int, default=12)
    parser.add_argument("--own", action="store_true", help="publish the example with its own script")
    parser.add_argument("--only", choices=[each.__name__ for each in CHANGES], help="changes of one sort")
    given = parser.parse_args()
    changes = [each for each in CHANGES if given.only in (None, each.__name__)]
    rng, all_tried = random.Random(given.seed), []
    with tempfile.TemporaryDirectory() as made:
        place = Path(made)
        with open_desk(place / "before.evenhand") as wb:
            example(wb, place / "study")
            before = published(wb, script=checked_draft() if given.own else "")
        asked = {line_number(at) for at, each in enumerate(before.lines) if each.key}
        print(f"{len(asked)} sentences, {len(asked & before.stood)} of them stand; seed {given.seed}")
        for n in range(given.changes):
            all_tried.append(tried(place, before, changes[n % len(changes)], rng))
            tell(n, all_tried[-1], before)
    summed(all_tried)


def tell(n: int, one: Tried, before: Before) -> None:
    """Prints one change, and what was told wrongly of it."""
    print(f"{n} {one.words}: {len(one.held.so)} touched, {one.cpu_s:.1f} s", flush=True)
    for sort, names in (("missed", one.held.missed), ("too many", one.held.too_many)):
        for name in names:
            at = int(name.split("line ")[1].split(":")[0]) - 1 if "line " in name else None
            print(f"    {sort}: {name}" + ("" if at is None else f" | {before.script.splitlines()[at]}"))


def summed(all_tried: list[Tried]) -> None:
    """Prints how much was told, by sort, and the times."""
    for sort in ("move", "figure", "sentence", "card"):
        counts = Counter[str]()
        for one in all_tried:
            for name in ("so", "missed", "too_many"):
                counts[name] += sum(each.startswith(sort) for each in getattr(one.held, name))
        print(f"{sort}s touched {counts['so']}, missed {counts['missed']}, too many {counts['too_many']}")
    exact = sum(one.held.told == one.held.so for one in all_tried)
    for one in sorted(all_tried, key=lambda one: -one.cpu_s)[:5]:
        print(f"{one.took_s:.2f} s, {one.cpu_s:.2f} s of a core: {one.words}")
    print(f"{exact} of {len(all_tried)} changes told exactly")
    for name, times in (("clock", [e.took_s for e in all_tried]), ("core", [e.cpu_s for e in all_tried])):
        late = sorted(times)[int(0.95 * (len(times) - 1) + 0.5)]
        told = f"median {median(times):.2f} s, 95th percentile {late:.2f} s, most {max(times):.2f} s"
        print(f"by the {name}: {told}, goal {GOAL_S:g} s")


if __name__ == "__main__":
    main()
