"""Random changes of the worked example, each as a reviewer would make it, drawn by a given generator."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from evenhand.desk.demonstrating import decide_all, discover, write_raw
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.publication.snapshots import parts_of
from evenhand.desk.runs.cutting import cut_run
from evenhand.desk.runs.deciding import keep, set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.study.disclosing import disclose
from evenhand.desk.tuning.held import compared_parts
from evenhand.desk.tuning.noting import note_limit, note_trial, take_back_limit, take_back_trial
from evenhand.records.prices import Price
from evenhand.records.publications import How
from evenhand.records.studies import Study
from evenhand.records.tests import Measures
from evenhand.records.windows import Window
from evenhand.store import prices, shelves
from evenhand.store.trials import trials_of
from evenhand.store.workbench import Workbench

STUDY = "saltmarsh"
NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)

Change = Callable[[Workbench, str, random.Random], str]  # of a study, by its key; what was changed, in words


def example(wb: Workbench, folder: Path) -> None:
    """Lands the example on a workbench, as its reviewer decided it."""
    write_raw(folder)
    import_folder(wb, folder, now=NOW)
    decide_all(wb, *discover(load_study(wb, STUDY).runs), now=NOW)


def price(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """Another price of one build."""
    study = shelves.one(wb, Study, study_key)
    record = load_study(wb, study_key)
    build = rng.choice([record.setups[key].build for key in record.study.setups])
    minor = rng.randint(600, 1300)
    assert study.currency is not None
    on = date(2031, 5, 5) + timedelta(days=rng.randint(0, 30))
    looked = datetime.combine(on, NOW.timetz())  # a price of a day to come would count nowhere
    prices.add_price(wb, Price(build=build, minor=minor, currency=study.currency, on=on), at=looked)
    return f"{build} costs {minor}"


def exclusion(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """A run that counts is set aside, or one that was set aside is kept."""
    each = rng.choice(load_study(wb, study_key).runs)
    said = Said(now=LATER, note="tried")
    if each.state.counts:
        set_aside(wb, each.run.id, reason="other", said=said)
        return f"{each.run.label} is set aside"
    keep(wb, each.run.id, said=said)
    return f"{each.run.label} is kept"


def many_out(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """Several runs of one test and setup are set aside, so that little is left of it."""
    counting = [each for each in load_study(wb, study_key).runs if each.state.counts]
    one = rng.choice(counting)
    own = [e for e in counting if (e.run.test, e.run.setup) == (one.run.test, one.run.setup)]
    gone = rng.sample(own, rng.randint(2, len(own)))
    for each in gone:
        set_aside(wb, each.run.id, reason="other", said=Said(now=LATER, note="tried"))
    return f"{len(gone)} of {len(own)} runs of {one.run.test} on {one.run.setup} are set aside"


def correction(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """A log counts in another stretch than it did."""
    record = load_study(wb, study_key)
    frames = {test.key for test in record.compared_tests if test.measures is Measures.FRAMES}
    each: RunOnRecord = rng.choice([e for e in record.runs if e.state.counts and e.run.test in frames])
    long_s = each.metrics.values["duration_s"]
    window = Window(
        start_s=long_s * rng.uniform(0.01, 0.1), end_s=long_s * rng.uniform(0.8, 0.95), reason="tried"
    )
    cut_run(wb, each.run.id, window, now=LATER)
    return f"{each.run.label} counts from {window.start_s:.1f} to {window.end_s:.1f} s"


def term(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """Another margin, or another weight of an audience."""
    study = shelves.one(wb, Study, study_key)
    if rng.random() < 0.5:
        margin = rng.choice((0.005, 0.01, 0.02, 0.025, 0.04, 0.05, 0.1))
        shelves.save(wb, replace(study, margin=margin), now=NOW)
        return f"a margin of {margin:.1%}"
    at = rng.randrange(len(study.audiences))
    games = float(rng.randint(5, 95))
    other = replace(study.audiences[at], groups={**study.audiences[at].groups, "games": games})
    audiences = (*study.audiences[:at], other, *study.audiences[at + 1 :])
    shelves.save(wb, replace(study, audiences=audiences), now=NOW)
    return f"{other.key} weighs games {games:g}"


def title(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """A title has another name, or counts no more."""
    study, test = shelves.one(wb, Study, study_key), rng.choice(load_study(wb, study_key).compared_tests)
    if rng.random() < 0.5:
        shelves.save(wb, replace(test, name=f"{test.name} Revisited"), now=NOW)
        return f"{test.name} is renamed"
    shelves.save(wb, replace(study, weights={**study.weights, test.key: 0.0}), now=NOW)
    return f"{test.name} counts no more"


def note(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """Another note of a part, or another version of a test."""
    record = load_study(wb, study_key)
    if rng.random() < 0.5:
        part = rng.choice(sorted(parts_of(wb, record).values(), key=lambda each: each.key))
        shelves.save(wb, replace(part, note="second batch"), now=NOW)
        return f"a note of {part.key}"
    test = rng.choice(record.compared_tests)
    shelves.save(wb, replace(test, scene=f"{test.scene}, again"), now=NOW)
    return f"the scene of {test.key}"


def disclosure(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """Something said of a part."""
    part = rng.choice(sorted(parts_of(wb, load_study(wb, study_key)).values(), key=lambda each: each.key))
    how = rng.choice(tuple(How))
    disclose(wb, part.key, how, by="somebody", note="", now=NOW)
    return f"{part.key}: {how}"


def tuning(wb: Workbench, study_key: str, rng: random.Random) -> str:
    """A trial is added at a point that was tried, or taken back, or a maker's limit is another."""
    tuned = rng.choice(compared_parts(wb, load_study(wb, study_key)))
    trials = trials_of(wb, [tuned.setup])
    own = [each for each in trials if each.part == tuned.part]
    what = rng.choice(("held", "failed", "gone", "limit"))
    if what == "limit":
        limit = rng.choice(tuned.limits)
        take_back_limit(wb, tuned.setup, tuned.part, limit.id, "tried", now=LATER)
        more = {
            "quantity": limit.quantity.value,
            "most": limit.most + rng.choice((10, 25)),
            "source": "tried",
        }
        note_limit(wb, tuned.setup, tuned.part, more, now=LATER, today=LATER.date())
        return f"the limit of the {limit.quantity} is {more['most']}"
    one = rng.choice(own)
    if what == "gone":
        take_back_trial(wb, tuned.setup, tuned.part, one.id, "tried", now=LATER)
        return f"trial {one.id} is taken back"
    given = {
        "setup": one.setup, "part": one.part, "clock_mhz": one.clock_mhz, "voltage_mv": one.voltage_mv,
        "load": one.load, "settings": dict(one.settings), "hours": rng.choice((0.5, 2.0, 8.0)),
        "outcome": "passed" if what == "held" else "crash", "room_c": 24.0,
    }  # fmt: skip
    note_trial(wb, given, now=LATER)
    return f"a trial {what} for {given['hours']} h at {one.clock_mhz:g} MHz and {one.voltage_mv:g} mV"


CHANGES: tuple[Change, ...] = (
    price, exclusion, correction, term, title, note, disclosure, many_out, tuning,
)  # fmt: skip
