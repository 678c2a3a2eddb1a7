"""The article of an edition: what the record says on the day, as one page that any host can serve."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from evenhand.desk.comparison.rehearsed import without_restart
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.verdict import Looked, VerdictPage, verdict_page
from evenhand.desk.publication.article_rows import pairs_shown, rate_table
from evenhand.desk.publication.kept_words import kept_words
from evenhand.desk.publication.material import material_of
from evenhand.desk.publication.narrating import prose_of
from evenhand.desk.verdict.judged_for import ForAudience, Judgement, judged_for
from evenhand.desk.verdict.verdict_ground import ground_of, sliders_of
from evenhand.editions.article import (
    Article,
    CardSet,
    Claim,
    Correction,
    Figure,
    Flip,
    ForWhom,
    LinkShown,
    Machine,
    Meaning,
    OwnPrice,
    OwnShare,
    OwnTerms,
    PartRow,
    Refusal,
    RunRow,
)
from evenhand.editions.bundle import About
from evenhand.editions.lasting import former_claims
from evenhand.editions.moved import Move, Of, moved
from evenhand.editions.snapshot import Snapshot, as_text, from_text
from evenhand.editions.turned import turned
from evenhand.metrics.wall import WALL_POWER
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, decimals_alone, listed, number, run_words, with_unit
from evenhand.publish.verdict_words import chance_words, verdict_sentence, weighing_words
from evenhand.publish.worth_words import asked_words, price_words
from evenhand.records.amounts import plain_amount
from evenhand.records.publications import How, Publication
from evenhand.records.tests import Test
from evenhand.store import publications
from evenhand.store.workbench import Workbench

DATA, ARCHIVE, EARLIER = "data/", "data.zip", "edition-{}/"
TOLD_TO_READERS = (Of.PRICE, Of.TERM, Of.CLAIM, Of.DEFINITION, Of.DISCLOSURE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """What lies beside the page: logs' paths by the digest of the bytes as they came, and the cards.

    `digest` is that of the whole bundle.
    """

    logs: Mapping[str, str]
    digest: str
    cards: tuple[CardSet, ...] = ()


def article_of(
    wb: Workbench, record: StudyOnRecord, snapshot: Snapshot, about: About, beside: Lying
) -> Article:
    """Everything that the article of an edition shows."""
    digest = hashlib.sha256(as_text(snapshot).encode()).hexdigest()
    earlier = publications.publications_of(wb, record.study.key)
    judgement = judged_for(wb, record)
    reasons = (*(each.reason for each in earlier), about.reason)
    first = verdict_page(wb, record.study.key, Looked())
    return Article(
        key=record.study.key, title=record.study.title, question=record.study.question,
        answer=first.answer,
        terms=first.terms, number=about.number, at=about.at, digest=digest,
        data_digest=beside.digest, code_version=about.code_version,
        by=about.imprint.name, licence=about.imprint.licence,
        for_whom=tuple(_for_whom(wb, record, judgement)), pairs=tuple(pairs_shown(wb, record)),
        rates=rate_table(record, judgement.names),
        measured=_measured(judgement), watts=_watts(wb, record),
        beside=tuple(_beside(first)), claims=tuple(_claims(snapshot)), refusals=tuple(_refusals(snapshot)),
        machines=tuple(_machines(snapshot, judgement)), method=tuple(_method(record, judgement.names)),
        meanings=tuple(_meanings(snapshot)), caveats=(*snapshot.caveats, *filter(None, [snapshot.excused])),
        runs=tuple(_runs(record, judgement.names, beside.logs)), bundle=ARCHIVE, cards=beside.cards,
        prose=prose_of(record, snapshot),
        corrections=tuple(corrections_to(snapshot, about, earlier)),
        earlier=tuple((f"edition {e.number}", page_of(e)) for e in earlier),
        former=tuple(
            former_claims(snapshot, [(f"edition {e.number}", page_of(e), said_in(e)) for e in earlier])
        ),
        place=about.imprint.place, form=about.imprint.form,
        keep=(*kept_words(snapshot), *(title for each in beside.cards for title, _ in each.cards), *reasons),
    )  # fmt: skip


def corrections_to(snapshot: Snapshot, about: About, earlier: Sequence[Publication]) -> Iterator[Correction]:
    """What was corrected since the first edition, this one first."""
    said = [(e.number, e.at, e.reason, said_in(e)) for e in earlier]
    said.append((about.number, about.at, about.reason, snapshot))
    for before, (edition, at, reason, after) in reversed(list(pairwise(said))):
        moves = [m for m in moved(before[3], after) if m.in_print and m.of in TOLD_TO_READERS]
        called = called_in(after) | called_in(before[3])
        yield Correction(
            number=edition, day=day_words(at.date()), reason=reason,
            moved=tuple(moves_told(moves, called)), turned=tuple(turned(before[3], after)),
            at="" if edition == about.number else at_edition(edition),
        )  # fmt: skip


def page_of(edition: Publication) -> str:
    """Where the page of an earlier edition lies beside the newest."""
    return at_edition(edition.number)


def at_edition(number: int) -> str:
    """The same by its number."""
    return f"{EARLIER.format(number)}index.html"


def said_in(edition: Publication) -> Snapshot:
    """What an earlier edition says."""
    return from_text(edition.body, where=f"edition {edition.number}")


def called_in(snapshot: Snapshot) -> dict[str, str]:
    """What setups and disclosed parts of a snapshot are called, by the names under which they move."""
    parts = {part["key"]: isolated(part["name"]) for setup in snapshot.setups for part in setup["parts"]}
    told: dict[str, str] = {
        f"{row['part']}, {row['how']}": parts.get(row["part"], str(row["part"]))
        for row in snapshot.disclosures
    }
    return told | {setup["key"]: isolated(setup["build_name"]) for setup in snapshot.setups}


def moves_told(moves: Sequence[Move], called: Mapping[str, str]) -> Iterator[str]:
    """What moved, each in words; sentences that tell other days of their prices alone are counted last."""
    yield from (move_words(move, called) for move in moves if not move.only_days)
    n = sum(move.only_days for move in moves)
    if n:
        tell = "tells" if n == 1 else "tell"
        yield f"{capital(counted(n, 'sentence'))} {tell} other days of prices, and nothing else"


def move_words(move: Move, called: Mapping[str, str]) -> str:
    """One thing that moved, as it was and as it is; whose price, which part."""
    of = f" of {called[move.name]}" if move.name in called else ""
    return f"{capital(move.of.value)}{of}: {move.before or 'not there before'} → {move.after or 'no more'}"


def _for_whom(wb: Workbench, record: StudyOnRecord, judgement: Judgement) -> Iterator[ForWhom]:
    for here in judgement.audiences:
        shown = verdict_page(wb, record.study.key, Looked(audience=here.audience.key))
        yield ForWhom(
            key=here.audience.key, name=isolated(here.audience.name),
            weighs=_weighs(here, judgement.names), said=tuple(_said(here, record, judgement)),
            figures=tuple(_figures(shown)), flips=tuple(_flips(shown)),
            own=_own(record, here, judgement),
        )  # fmt: skip


def _weighs(here: ForAudience, names: Names) -> str:
    told = f"{capital(here.audience.told)}. " if here.audience.told else ""
    return f"{told}{capital(weighing_words(here.audience, names))}."


def _said(here: ForAudience, record: StudyOnRecord, judgement: Judgement) -> Iterator[str]:
    if here.trouble is not None:
        yield f"{capital(str(here.trouble))}."
    for verdict in here.verdicts:
        said = verdict_sentence(
            verdict, here.audience, judgement.names, margin=record.study.margin,
            currency=judgement.paid.currency,
        )  # fmt: skip
        firmly = chance_words(here.wobbles.get((verdict.a, verdict.b)), verdict, judgement.names)
        yield f"{capital(said.removeprefix(f'{isolated(here.audience.name)}: '))} {firmly}"


def _figures(shown: VerdictPage) -> Iterator[Figure]:
    if shown.weight is not None:
        yield Figure(heading=shown.weight.heading, about=shown.weight.about, picture=shown.weight.picture)
    for each in (shown.money.band, shown.money.per_money) if shown.money else ():
        if each is not None:
            yield Figure(heading=each.heading, about=each.words or each.about, picture=each.picture)


def _flips(shown: VerdictPage) -> Iterator[Flip]:
    for each in shown.flips:
        small = f" ({each.small})" if each.small else ""
        yield Flip(change=f"{each.change}{small}", effect=each.effect)


def _own(record: StudyOnRecord, here: ForAudience, judgement: Judgement) -> OwnTerms | None:
    """What a reader may put in; nothing where the study says no currency or the audience has no verdict."""
    currency, names = judgement.paid.currency, judgement.names
    if currency is None or not here.verdicts:
        return None
    minor = judgement.paid.minor
    return OwnTerms(
        currency=currency.symbol,
        prices=tuple(
            OwnPrice(
                setup=setup, name=names.setup(setup), slot=names.slot(setup).number,
                price=str(plain_amount(minor[setup], currency)) if setup in minor else "",
            )
            for setup in record.study.setups
        ),
        shares=tuple(
            OwnShare(key=s.key, name=s.name, value=s.value, said=s.said) for s in sliders_of(here, names)
        ),
        ground={key: each for key, each in _ground(here, names).items() if key != "pairs"},
    )  # fmt: skip


def _ground(here: ForAudience, names: Names) -> dict[str, Any]:
    return ground_of(here, (here.verdicts[0].a, here.verdicts[0].b), names)


def _measured(judgement: Judgement) -> Sequence[Mapping[str, Any]]:
    """What all audiences are judged by: the same for each, since it is laid out for all of them."""
    judged = [here for here in judgement.audiences if here.verdicts]
    return _ground(judged[0], judgement.names)["pairs"] if judged else ()


def _watts(wb: Workbench, record: StudyOnRecord) -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = {}
    for (test, setup, metric), estimate in material_of(wb, record).rates.items():
        if metric == WALL_POWER:
            found.setdefault(test, {})[setup] = estimate.value
    return found


def _beside(first: VerdictPage) -> Iterator[tuple[str, tuple[str, ...]]]:
    for each in first.claims.beside if first.claims else ():
        yield each.name, (*each.said, each.caution)


def _claims(snapshot: Snapshot) -> Iterator[Claim]:
    for at, row in snapshot.claims.items():
        yield Claim(address=at, words=row["words"], rung=row["rung"], why=row["why"])


def _refusals(snapshot: Snapshot) -> Iterator[Refusal]:
    for row in snapshot.refusals:
        yield Refusal(words=row["words"], why=capital(row["why"]), instead=row["instead"])


def _machines(snapshot: Snapshot, judgement: Judgement) -> Iterator[Machine]:
    disclosed: dict[str, list[str]] = {}
    for row in snapshot.disclosures:
        by = f" ({isolated(row['by'])})" if row["by"] else ""
        disclosed.setdefault(row["part"], []).append(f"{How(row['how']).meaning}{by}")
    for setup in snapshot.setups:
        paid = judgement.paid.by_setup.get(setup["key"])
        price = "no price on record"
        if setup["key"] in judgement.paid.elsewhere:
            price = f"{price_words(judgement.paid.elsewhere[setup['key']])}: another currency, not compared"
        if paid is not None:
            early = setup["key"] in judgement.paid.to_come
            price = f"{amount(paid.minor, paid.currency)} on {asked_words(paid.on, to_come=early)}"
        yield Machine(
            name=isolated(setup["build_name"]), slot=setup["slot"], price=price,
            parts=tuple(
                PartRow(
                    kind=p["kind"], name=isolated(p["name"]),
                    disclosed="; ".join(disclosed.get(p["key"], [])), links=links_of(snapshot, p["key"]),
                )
                for p in setup["parts"]
            ),
        )  # fmt: skip


def links_of(snapshot: Snapshot, part: str) -> tuple[LinkShown, ...]:
    """The links to a part that go out."""
    rows = (row for row in snapshot.imprint.get("links", ()) if row["part"] == part)
    return tuple(LinkShown(name=isolated(row["name"]), to=row["to"], paid=row["paid"]) for row in rows)


def _method(record: StudyOnRecord, names: Names) -> Iterator[str]:
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


def _meanings(snapshot: Snapshot) -> Iterator[Meaning]:
    for row in snapshot.definitions.values():
        yield Meaning(label=row["label"], meaning=row["meaning"])


def _runs(record: StudyOnRecord, names: Names, files: Mapping[str, str]) -> Iterator[RunRow]:
    own = record.compared_runs
    counting = Counter((each.run.test, each.run.setup) for each in own if each.state.counts)
    for each in own:
        test = record.tests[each.run.test]
        found, reason = each.headline(test), each.decision.reason if each.decision else None
        because = f": {reason.meaning}" if reason is not None else ""
        alone = each.state.counts and counting[each.run.test, each.run.setup] == 1
        digests = [("log", each.run.log or ""), ("sensors", each.run.sensors or "")]
        yield RunRow(
            label=each.run.label, test=isolated(test.name), setup=names.setup(each.run.setup),
            state=f"{each.state.value}{because}",
            number="none" if found is None else told_as(found, test, alone=alone),
            files=tuple((name, files[digest]) for name, digest in digests if digest in files),
        )  # fmt: skip


def told_as(found: float, test: Test, *, alone: bool) -> str:
    """A run's number: enough digits to tell it from its siblings; a machine's only run as the machine's."""
    if not alone:
        return run_words(found, test.unit)
    return with_unit(number(found, decimals_alone(found)), test.unit)
