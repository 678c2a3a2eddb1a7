"""How far a sentence about two setups may reach: the ladder, what may be published, and what is refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.desk.comparison.causing import causes_of, grounds_of
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.comparison.other_evidence import other_evidence
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.publish.claim_voice import claim_voice
from evenhand.publish.direction import isolated
from evenhand.records.tests import Measures
from evenhand.store.workbench import Workbench
from evenhand.verdicts.backing import SIDES, TURNED, Backing
from evenhand.verdicts.beside import beside
from evenhand.verdicts.claims import Ladder, Said, Voice
from evenhand.verdicts.claims_measured import index_sentence
from evenhand.verdicts.ladder import ladder
from evenhand.verdicts.publishable import Sentence, publishable, refusals_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """The ladder of a pair before an audience, with sentences that stand and sentences that do not.

    `lead` says whether the verdict calls one of the two ahead; `beside` what else was measured, by place.
    `without` says that this audience has no verdict on the pair, `apart` what the index over all tests says
    in spite of that, where it is called.
    """

    ladder: Ladder
    publishable: tuple[Sentence, ...]
    refused: tuple[Sentence, ...]
    voice: Voice
    lead: bool = True
    without: bool = False
    apart: Said | None = None
    beside: Mapping[str, tuple[Said, ...]] = field(default_factory=dict)


def claims_of(
    wb: Workbench, record: StudyOnRecord, judgement: Judgement, here: ForAudience, pair: tuple[str, str]
) -> Claims:
    """What may be said of a pair for one audience."""
    backing = backing_of(wb, record, judgement, here, pair)
    people = {each.audience.key: isolated(each.audience.name) for each in judgement.audiences}
    return Claims(
        ladder=ladder(backing), publishable=publishable(backing), refused=refusals_of(backing),
        voice=claim_voice(
            judgement.names, audiences=people, currency=judgement.paid.currency,
        ),
        lead=backing.verdict is None or backing.verdict.outcome in TURNED,
        beside=beside(backing), without=bool(backing.without), apart=_apart(backing),
    )  # fmt: skip


def _apart(backing: Backing) -> Said | None:
    """What the index over all tests says where the audience has no verdict; None where it says nothing."""
    index = backing.indexes.get("") if backing.without else None
    return None if index is None or index.outcome not in SIDES else index_sentence(index, backing)


def backing_of(
    wb: Workbench, record: StudyOnRecord, judgement: Judgement, here: ForAudience, pair: tuple[str, str]
) -> Backing:
    """All that a sentence about the pair may stand on."""
    grounds, evidence = grounds_of(wb, record), other_evidence(wb, record)
    verdict = here.verdict(*pair)
    return Backing(
        a=pair[0], b=pair[1], comparison=findings_now(record), cells=grounds.bench.cells,
        causes=causes_of(grounds, *pair), verdict=verdict,
        without="" if verdict else here.audience.key,
        priced_on={setup: price.on for setup, price in judgement.paid.by_setup.items()},
        priced_elsewhere=frozenset(judgement.paid.elsewhere),
        gaps=evidence.gaps, power=evidence.power.findings,
        framed=frozenset(t.key for t in record.compared_tests if t.measures is Measures.FRAMES),
    )  # fmt: skip
