"""What an article rests on: sentences, machines with their parts, and the method."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.comparison.rehearsed import without_restart
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.verdict import VerdictPage
from evenhand.desk.publication.material import material_of
from evenhand.desk.verdict.judged import Judgement
from evenhand.editions.article import Claim, LinkShown, Machine, Meaning, PartRow, Refusal
from evenhand.editions.part_prices import words_by_part
from evenhand.editions.snapshot import Snapshot
from evenhand.editions.tuned import machine_called, state_told
from evenhand.metrics.wall import WALL_POWER
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.publish.worth_words import price_words
from evenhand.records.publications import How
from evenhand.store.workbench import Workbench


def watts(wb: Workbench, record: StudyOnRecord) -> dict[str, dict[str, float]]:
    """What each machine draws at the wall in each test, in watts."""
    found: dict[str, dict[str, float]] = {}
    for (test, setup, metric), estimate in material_of(wb, record).rates.items():
        if metric == WALL_POWER:
            found.setdefault(test, {})[setup] = estimate.value
    return found


def evidence_beside(first: VerdictPage) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Noise, heat and power: the name of each, and what is said of it."""
    for each in first.claims.beside if first.claims else ():
        yield each.name, (*each.said, each.caution)


def claims_of(snapshot: Snapshot) -> Iterator[Claim]:
    """The sentences that stand, each with its permanent address."""
    for at, row in snapshot.claims.items():
        yield Claim(address=at, words=row["words"], rung=row["rung"], why=row["why"])


def refusals_of(snapshot: Snapshot) -> Iterator[Refusal]:
    """The sentences that do not stand, with the reason and what would."""
    for row in snapshot.refusals:
        yield Refusal(words=row["words"], why=capital(row["why"]), instead=row["instead"])


def machines_of(snapshot: Snapshot, judgement: Judgement) -> Iterator[Machine]:
    """Each machine with its dated price, its parts, and how those were come by."""
    disclosed: dict[str, list[str]] = {}
    for row in snapshot.disclosures:
        by = f" ({isolated(row['by'])})" if row["by"] else ""
        disclosed.setdefault(row["part"], []).append(f"{How(row['how']).meaning}{by}")
    costs = words_by_part(snapshot)
    for setup in snapshot.setups:
        paid = judgement.paid.by_setup.get(setup["key"])
        price = "no price on record"
        if setup["key"] in judgement.paid.elsewhere:
            price = f"{price_words(judgement.paid.elsewhere[setup['key']])}: another currency, not compared"
        if paid is not None:
            price = f"{amount(paid.minor, paid.currency)} on {day_words(paid.on)}"
        yield Machine(
            name=machine_called(snapshot, setup), slot=setup["slot"], price=price,
            state=tuple(state_told(snapshot, setup)),
            parts=tuple(
                PartRow(
                    kind=p["kind"], name=isolated(p["name"]),
                    disclosed="; ".join(disclosed.get(p["key"], [])), links=links_of(snapshot, p["key"]),
                    cost=costs.get((setup["key"], p["key"]), ""),
                )
                for p in setup["parts"]
            ),
        )  # fmt: skip


def links_of(snapshot: Snapshot, part: str) -> tuple[LinkShown, ...]:
    """The links to a part that go out."""
    rows = (row for row in snapshot.imprint.get("links", ()) if row["part"] == part)
    return tuple(LinkShown(name=isolated(row["name"]), to=row["to"], paid=row["paid"]) for row in rows)


def method_of(record: StudyOnRecord, names: Names) -> Iterator[str]:
    """How it was measured, sentence by sentence."""
    study = record.study
    own = record.compared_runs
    counting = [each for each in own if each.state.counts]
    boots = {(each.run.setup, each.run.boot) for each in counting if each.run.boot}
    yield (
        f"{capital(counted(len(study.tests), 'test'))} on {counted(len(study.setups), 'machine')}: "
        f"{number(len(own))} runs, of which {number(len(counting))} count, "
        f"over {counted(len(boots), 'boot')}{without_restart(counting)}."
    )
    margin = with_unit(f"{100 * study.margin:.4g}", "%")
    yield f"A difference below {margin} is taken to be too small to matter."
    yield "Intervals are 95 % unless they say otherwise; all comparisons are counted before any is called."
    yield from names.terms_told
    yield from names.measured
    for test in record.compared_tests:
        version = f", version {test.version}" if test.version else ""
        settings = listed(tuple(f"{key} {value}" for key, value in test.settings.items()))
        scene = f": {test.scene}" if test.scene else ""
        yield f"{isolated(test.name)}{version}{scene}{f' ({settings})' if settings else ''}."


def meanings_of(snapshot: Snapshot) -> Iterator[Meaning]:
    """What each number means."""
    for row in snapshot.definitions.values():
        yield Meaning(label=row["label"], meaning=row["meaning"])
