"""A study as it would go out today: its snapshot, off the record."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from evenhand.desk.answers import run_answer
from evenhand.desk.comparison.comparing import compared_answer, compared_now
from evenhand.desk.comparison.findings_now import comparison_now
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.compare import reservations
from evenhand.desk.parts.standing_prices import standing_prices
from evenhand.desk.publication.material import material_of
from evenhand.desk.publication.tuning_rows import tuning_rows
from evenhand.desk.verdict.claiming import Claims, claims_of
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_answers import judgement_answer, paid_answer
from evenhand.editions.lasting import lasting, slug
from evenhand.editions.snapshot import Snapshot
from evenhand.metrics.definitions import definition
from evenhand.prose.quotables import quotables
from evenhand.prose.quoted_leads import ALL_TESTS
from evenhand.records.builds import Part
from evenhand.records.publications import Disclosure, Imprint
from evenhand.store import disclosures, scripts, shelves
from evenhand.store.imprints import imprint_now
from evenhand.store.rows import plain
from evenhand.store.workbench import Workbench
from evenhand.verdicts.claims import As, Kind
from evenhand.verdicts.publishable import Sentence

Table = dict[str, Any]

# What a claim's address names beside its kind and pair; numbers never, so that it outlives them.
BY_TEST = frozenset({Kind.TEST, Kind.NOISE, Kind.HEAT, Kind.POWER, Kind.SUPERLATIVE})
IDLE = "idle"


def snapshot_now(wb: Workbench, record: StudyOnRecord) -> Snapshot:
    """Everything that the study says today, ready to be frozen."""
    compared, _ = compared_now(wb, record.study.key)
    judgement = judged_for(wb, record)
    claims, refusals = claims_now(wb, record, judgement)
    script = scripts.script_of(wb, record.study.key)
    parts = parts_of(wb, record)
    return Snapshot(
        study=terms_of(record),
        setups=[setup_row(record, key, parts) for key in record.study.setups],
        tests=[plain(test) for test in record.compared_tests],
        definitions=definitions_of(record),
        figures={at: figure_row(q) for at, q in quotables(material_of(wb, record)).figures.items()},
        findings=compared_answer(compared), verdicts=judgement_answer(judgement, record),
        claims=claims, refusals=refusals, prices=paid_answer(judgement.paid)["by_setup"],
        disclosures=[disclosure_row(each) for each in disclosures.disclosures_of(wb, parts)],
        runs=[run_row(each) for each in record.compared_runs],
        caveats=caveats_of(wb, record, judgement), script=script.text if script else None,
        imprint=imprint_row(wb),
        part_prices=[plain(each) | {"on": each.on.isoformat()} for each in standing_prices(wb, record)],
        tuning=tuning_rows(wb, record),
    )  # fmt: skip


def imprint_row(wb: Workbench) -> Table:
    """Who publishes, in what a reader may know of it."""
    told: Table = plain(imprint_now(wb))
    said = {name: told[name] for name in ("name", "licence", "place", "links")}
    own = Imprint()
    said |= {name: told[name] for name in ("numbers", "days") if told[name] != getattr(own, name)}
    return said | {name: told[name][:12] for name in ("accent", "mark", "typeface") if told[name]}


def terms_of(record: StudyOnRecord) -> Table:
    """What was fixed before any data."""
    left = ("setups", "tests", "audiences")
    return {name: value for name, value in plain(record.study).items() if name not in left}


def parts_of(wb: Workbench, record: StudyOnRecord) -> dict[str, Part]:
    """The parts of every build that is compared."""
    builds = [record.builds[record.setups[key].build] for key in record.study.setups]
    return shelves.some(wb, Part, dict.fromkeys(part for build in builds for part in build.parts))


def setup_row(record: StudyOnRecord, key: str, parts: dict[str, Part]) -> Table:
    """A setup with its build and the parts in it."""
    setup = record.setups[key]
    build = record.builds[setup.build]
    own = [plain(parts[part]) for part in build.parts]
    row: Table = plain(setup)
    return row | {"build_name": build.name, "slot": build.slot, "parts": own}


def definitions_of(record: StudyOnRecord) -> Table:
    """What every number that a run of the study carries means, by key."""
    keys = sorted({key for each in record.compared_runs for key in each.metrics.values})
    return {key: plain(definition(key)) for key in keys}


def figure_row(figure: object) -> Table:
    """A figure that may be quoted; its day as people write days in files, and a caution where it has one."""
    row: Table = plain(figure)
    if not row["caution"]:
        del row["caution"]
    return row | {"day": None if row["day"] is None else row["day"].isoformat()}


def disclosure_row(disclosure: Disclosure) -> Table:
    """How the reviewer stands to a part, in what a reader may know of it."""
    return {
        "part": disclosure.part,
        "how": disclosure.how.value,
        "by": disclosure.by,
        "note": disclosure.note,
    }


def run_row(each: RunOnRecord) -> Table:
    """A run with its numbers and its files' hashes."""
    return run_answer(each) | {"log": each.run.log, "sensors": each.run.sensors, "score": each.run.score}


def caveats_of(wb: Workbench, record: StudyOnRecord, judgement: Judgement) -> list[str]:
    """Everything that has to be known with the findings, each once."""
    found = comparison_now(record)
    headline = [f for f in found.findings if f.headline]
    return list(reservations(wb, record, [*headline, *found.indexes], judgement.names))


def claims_now(wb: Workbench, record: StudyOnRecord, judgement: Judgement) -> tuple[Table, list[Table]]:
    """Sentences that stand, by their permanent address, and sentences that are refused, each once."""
    stand: Table = {}
    refused: dict[str, Table] = {}
    for here in judgement.audiences:
        for verdict in here.verdicts:
            pair = (verdict.a, verdict.b)
            claims = claims_of(wb, record, judgement, here, pair)
            stand.update(claim_rows(claims, pair))
            refused.update((row["words"], row) for row in refusal_rows(claims, pair, here))
    return stand, list(refused.values())


def claim_rows(claims: Claims, pair: tuple[str, str]) -> Iterator[tuple[str, Table]]:
    """Each sentence that stands of a pair, with its address."""
    for sentence in claims.publishable:
        yield (
            claim_address(sentence, pair),
            sentence_row(sentence, claims, pair) | {"why": sentence.standing.reason.told(claims.voice)},
        )


def refusal_rows(claims: Claims, pair: tuple[str, str], here: ForAudience) -> Iterator[Table]:
    """Each sentence that one may be tempted to say of a pair, why it does not stand, and what would."""
    for sentence in claims.refused:
        how = sentence.standing
        instead = None if how.would_stand is None else how.would_stand.told(claims.voice)
        row = {"why": how.reason.told(claims.voice), "instead": instead, "audience": here.audience.key}
        yield sentence_row(sentence, claims, pair) | row


def sentence_row(sentence: Sentence, claims: Claims, pair: tuple[str, str]) -> Table:
    """A sentence in words, with what it asks of the record."""
    return {
        "words": sentence.said.told(claims.voice), "kind": sentence.standing.kind.value,
        "rung": int(sentence.rung), "pair": list(pair),
    }  # fmt: skip


def claim_address(sentence: Sentence, pair: tuple[str, str]) -> str:
    """The permanent address of a claim: its kind, what it is about, and the pair, in words of the record.

    The pair stands in the order of its letters, so that the address stays where a study names it otherwise.
    """
    kind, slots = sentence.standing.kind, sentence.said.slots.values()
    sorts = {As.GROUP, As.PART, As.AUDIENCE} | ({As.TEST} if kind in BY_TEST else set())
    about = [str(value) for slot in slots if slot.sort in sorts for value in slot.values if value]
    tests = [test or IDLE for test in sentence.standing.tests] if kind in BY_TEST else []
    if not (about or tests) and kind in (Kind.INDEX, Kind.FORECAST, Kind.SUPERLATIVE):
        about = [ALL_TESTS]
    way = [sentence.said.key.rsplit("-", 1)[-1]] if kind is Kind.CAUSE else []
    words = (kind.name.lower(), *about, *(t for t in tests if t not in about), *way, *pair)
    return lasting(slug(*words), {"kind": kind, "pair": pair})
