"""The article of an edition: what the record says on the day, as one page that any host can serve."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.publication.article_audiences import for_whom, measured
from evenhand.desk.publication.article_corrections import corrections_to, page_of, said_in
from evenhand.desk.publication.article_evidence import (
    claims_of,
    evidence_beside,
    machines_of,
    meanings_of,
    method_of,
    refusals_of,
    watts,
)
from evenhand.desk.publication.article_rows import pairs_shown, rate_table
from evenhand.desk.publication.article_runs import runs_behind_causes, runs_of
from evenhand.desk.publication.article_tuning import tuned_shown
from evenhand.desk.publication.kept_words import kept_words
from evenhand.desk.publication.narrating import prose_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.editions.article import Article, CardSet
from evenhand.editions.bundle import About
from evenhand.editions.lasting import former_claims
from evenhand.editions.snapshot import Snapshot, as_text
from evenhand.store import publications
from evenhand.store.workbench import Workbench

DATA, ARCHIVE = "data/", "data.zip"


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
        for_whom=tuple(for_whom(wb, record, judgement)), pairs=tuple(pairs_shown(wb, record)),
        rates=rate_table(record, judgement.names),
        measured=measured(judgement), watts=watts(wb, record),
        beside=tuple(evidence_beside(first)),
        claims=tuple(claims_of(snapshot)), refusals=tuple(refusals_of(snapshot)),
        machines=tuple(machines_of(snapshot, judgement)), method=tuple(method_of(record, judgement.names)),
        meanings=tuple(meanings_of(snapshot)), caveats=(*snapshot.caveats, *filter(None, [snapshot.excused])),
        runs=tuple(runs_of(record, judgement.names, beside.logs)),
        behind_causes=tuple(runs_behind_causes(wb, record, judgement.names, beside.logs)),
        bundle=ARCHIVE, cards=beside.cards,
        prose=prose_of(record, snapshot),
        corrections=tuple(corrections_to(snapshot, about, earlier)),
        earlier=tuple((f"edition {e.number}", page_of(e)) for e in earlier),
        former=tuple(
            former_claims(snapshot, [(f"edition {e.number}", page_of(e), said_in(e)) for e in earlier])
        ),
        tuned=tuple(tuned_shown(wb, record, judgement.names)), trials=f"{DATA}tables/trials.csv",
        place=about.imprint.place, form=about.imprint.form,
        keep=(*kept_words(snapshot), *(title for each in beside.cards for title, _ in each.cards), *reasons),
    )  # fmt: skip
