"""All that the cards of a study are drawn from, read once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from evenhand.desk.comparison.charting import drawn_names
from evenhand.desk.comparison.findings_now import comparison_now
from evenhand.desk.comparison.other_evidence import OtherEvidence, other_evidence
from evenhand.desk.comparison.pair_names import PairKeys
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.snapshots import parts_of
from evenhand.desk.study.terms import ChangedTerm, changed_terms
from evenhand.desk.verdict.claiming import backing_of
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.desk.verdict.judged_for import audiences_of, judged_for
from evenhand.findings.finding import Comparison
from evenhand.publish.card_titles import Sayings, sayings
from evenhand.publish.faces import lacking
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.names import Names
from evenhand.publish.reservations import on_a_picture
from evenhand.store.workbench import Workbench
from evenhand.verdicts.claims import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class CardGround:
    """A study with its verdicts, findings and other evidence, and the names under which it is drawn.

    `pairs` are those that have cards of their own.
    `excused` is what is said of a script that does not stand; None for what the last edition says of it.
    """

    wb: Workbench
    record: StudyOnRecord
    judgement: Judgement
    comparison: Comparison
    evidence: OtherEvidence
    names: Names
    changed: Sequence[ChangedTerm]
    pairs: tuple[PairKeys, ...] = ()
    excused: str | None = None
    _sayings: dict[tuple[object, ...], Sayings] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def has(self, pair: PairKeys) -> bool:
        """Whether anything of the pair was found."""
        return any((f.a, f.b) == pair and f.ratio is not None for f in self.comparison.findings)

    def about(self, pair: PairKeys) -> Pair:
        """The pair as figures know it."""
        findings = [f for f in self.comparison.findings if (f.a, f.b) == pair and f.headline]
        return Pair(
            a=pair[0], b=pair[1], names=self.names.drawn(), margin=self.comparison.margin,
            level=findings[0].level if findings else 0.95, reserved=on_a_picture(findings),
        )  # fmt: skip

    @property
    def people(self) -> Mapping[str, str]:
        """Audiences by key, as cards call them: by their key where the fonts lack their letters."""
        names = self.names.drawn()
        return {each.audience.key: names.other(each.audience.key) for each in self.judgement.audiences}

    def sayings(self, here: ForAudience, pair: PairKeys, kinds: Sequence[Kind]) -> Sayings:
        """What the record bears of a pair for an audience, in these kinds; looked for once."""
        asked = (here.audience.key, pair, tuple(kinds))
        if asked not in self._sayings:
            backing = backing_of(self.wb, self.record, self.judgement, here, pair)
            currency = self.judgement.paid.currency
            self._sayings[asked] = sayings(backing, kinds, audiences=self.people, currency=currency)
        return self._sayings[asked]


def ground_for(wb: Workbench, record: StudyOnRecord, pairs: tuple[PairKeys, ...] = ()) -> CardGround:
    """The ground of a study as it stands, for cards of these pairs."""
    changed = changed_terms(wb, record)
    return CardGround(
        wb=wb, record=record, judgement=judged_for(wb, record), comparison=comparison_now(record),
        evidence=other_evidence(wb, record), names=card_names(wb, record, changed),
        changed=changed, pairs=pairs,
    )  # fmt: skip


def card_names(wb: Workbench, record: StudyOnRecord, changed: Sequence[ChangedTerm]) -> Names:
    """What cards call things: no finding is asked for it."""
    others = {key: part.name for key, part in parts_of(wb, record).items()}
    others |= {each.key: each.name for each in audiences_of(record)}
    return replace(drawn_names(record, changed), others=others)


def keys_for_names(wb: Workbench, record: StudyOnRecord) -> Mapping[str, str]:
    """The names that our fonts cannot write, by the keys that stand for them on cards and in the report."""
    return card_names(wb, record, changed_terms(wb, record)).drawn().stand_ins


def not_drawn(wb: Workbench, record: StudyOnRecord) -> tuple[str, ...]:
    """What cards cannot write out, as sentences: whose key stands for a name, which signs are drawn plainly.

    The article, the texts and the narration keep every name: readers' browsers have faces of their own.
    """
    names = card_names(wb, record, changed_terms(wb, record))
    told = names.drawn()
    every = [each.name for each in told.setups.values()]
    every += [*(each.name for each in told.tests.values()), *told.groups.values(), *told.others.values()]
    plain = dict.fromkeys(sign for name in every for sign in lacking(name) if sign.isprintable())
    return (*told.told, *((f"Drawn plainly, as the fonts lack them: {', '.join(plain)}.",) if plain else ()))
