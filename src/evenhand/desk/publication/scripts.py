"""A script held against the record of its study: what is objected to, how it reads, and how long it takes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from evenhand.desk.latest import Latest
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.publication.cues import cues_without_cards
from evenhand.desk.publication.imprint import imprint_now
from evenhand.desk.publication.material import material_of
from evenhand.desk.publication.snapshots import parts_of
from evenhand.desk.verdict.claiming import backing_of
from evenhand.desk.verdict.judged import Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.errors import BadRecord
from evenhand.prose.activities import leaning_of
from evenhand.prose.checking import check
from evenhand.prose.disclosed import untold
from evenhand.prose.ground import NOBODY, Ground
from evenhand.prose.hearing import Heard, hear, heard_by
from evenhand.prose.objection import Objection
from evenhand.prose.quotables import Quotables, quotables
from evenhand.prose.rendering import as_html, narration
from evenhand.prose.rules import ENGLISH, Rules, rules
from evenhand.prose.script import Script, parse
from evenhand.prose.timing import Timed, timed
from evenhand.prose.understanding import Listener
from evenhand.publish.claim_voice import claim_voice
from evenhand.publish.direction import isolated
from evenhand.records.builds import Part
from evenhand.records.publications import Disclosure, How, Link
from evenhand.store import disclosures
from evenhand.store.workbench import Workbench
from evenhand.verdicts.backing import Backing

MOST_BYTES = 300_000  # an hour of speech has some 60,000
HEARD = Latest(4)  # scripts that are being written or corrected
LISTENERS = Latest(4)  # of their studies
# What the brief's budget calls the currency: the word after its first amount.
_MONEY_WORD = re.compile(r"\d[\d.,\u00a0 ]*\s+([^\W\d_]{3,})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A script, what is objected to in it, it as it is told and shown, and its chapters with their times.

    `untold` are disclosures that no word of it tells, and paid links of which none is on record, as
    sentences, and `cautions` what has to be known with the figures that it quotes: they stop nothing.
    """

    script: Script
    objections: tuple[Objection, ...]
    untold: tuple[str, ...]
    cautions: tuple[str, ...]
    narration: str
    shown: str
    times: Timed


def read_script(file: Path) -> str:
    """The text of a script's file. Raises BadRecord where it is no text, or too much of it."""
    try:
        data = file.read_bytes() if file.stat().st_size <= MOST_BYTES else b""
    except OSError as error:
        raise BadRecord(f"the script cannot be read ({error.strerror})", where=str(file)) from error
    if not data and file.stat().st_size:
        raise BadRecord(
            f"more than {MOST_BYTES // 1000} kB are no script",
            where=str(file),
            todo="give the script alone",
        )
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        raise BadRecord(
            f"byte {error.start + 1} is no UTF-8 text", where=str(file), todo="save the script as UTF-8"
        ) from error


def check_script(
    wb: Workbench, study: str, text: str, *, language: str = ENGLISH, words_a_minute: int | None = None
) -> Checked:
    """Holds a script against the record of a study; at the reviewer's own pace where none is given.

    Raises NotFound where there is no such study or language.
    """
    pace = imprint_now(wb).words_a_minute if words_a_minute is None else words_a_minute
    record, own = load_study(wb, study), rules(language)
    ground, script = ground_of(wb, record), parse(text, abbreviations=own.abbreviations)
    heard = heard_lately(script, ground, own)
    missing = untold([each.reading.sentence for each in heard], ground, own)
    found = (*check(script, ground, own, heard=heard), *cues_without_cards(wb, record, script))
    return Checked(
        script=script, objections=tuple(sorted(found, key=lambda each: each.place.start)),
        narration=narration(script, ground.quotables),
        untold=(*untold_words(missing, own), *paid_unsaid(imprint_now(wb).links, ground)),
        cautions=cautions_of(script, ground.quotables), shown=as_html(script, ground.quotables),
        times=timed(script, ground.quotables, words_a_minute=pace),
    )  # fmt: skip


def objections_to(wb: Workbench, record: StudyOnRecord, script: Script) -> tuple[Objection, ...]:
    """What the check objects to in an English script today."""
    ground, own = ground_of(wb, record), rules()
    return check(script, ground, own, heard=heard_lately(script, ground, own))


def heard_lately(script: Script, ground: Ground, rules: Rules) -> tuple[Heard, ...]:
    """A script as it is heard: kept while it and all that it is heard by stay, whatever was measured.

    Where something is called otherwise, or a figure is gone, only sentences that say another thing by it are
    understood anew.
    """
    said = rules.language, script.text, heard_by(script, ground, rules)
    called = rules.language, repr(ground.called())
    listener = LISTENERS.of(called, lambda: Listener(ground, rules))
    return HEARD.of(said, lambda: hear(script, ground, rules, listener=listener))


def cautions_of(script: Script, figures: Quotables) -> tuple[str, ...]:
    """What has to be known with the figures that a script quotes, each once, in its order."""
    quoted = [reference.address for piece in script.said for reference in piece.references]
    found = [figures.find(address) for address in quoted if figures.has(address)]
    return tuple(dict.fromkeys(each.caution for each in found if each.caution))


def untold_words(missing: Iterable[tuple[Part, How]], rules: Rules) -> Iterator[str]:
    """What the script has no word of, whether the part is named in it or not."""
    for part, how in missing:
        yield f"{isolated(part.name)} ({part.kind}): {rules.said[f'means_{how}']}. No sentence says so."


def paid_unsaid(links: Sequence[Link], ground: Ground) -> Iterator[str]:
    """Links that pay, of parts of which no such link is on record."""
    names = {part.key: part.name for part in ground.parts}
    for link in links:
        if link.paid and link.part in names and How.LINK not in ground.disclosures.get(link.part, ()):
            part = isolated(names[link.part])
            yield f"{part}: the link “{link.name}” pays you, and its disclosures have no word of that."


def ground_of(wb: Workbench, record: StudyOnRecord) -> Ground:
    """All that a script of this study may stand on today."""
    material, judgement = material_of(wb, record), judged_for(wb, record)
    parts = parts_of(wb, record)
    inside = {key: record.builds[record.setups[key].build].parts for key in record.study.setups}
    backings, groups = backings_of(wb, record, judgement), {t.key: t.group for t in record.compared_tests}
    return Ground(
        names=replace(material.names, as_typed=True), setups=record.study.setups, tests=record.compared_tests,
        quotables=quotables(material), backings=backings,
        leanings={
            who: leaning_of(b.verdict, groups)
            for (who, *_), b in backings.items() if b.verdict and b.verdict.shares
        },
        voice=claim_voice(material.names, audiences=material.audiences, currency=material.currency),
        audiences=material.audiences, parts=tuple(parts.values()), inside=inside, prices=material.prices,
        currency=material.currency, money_words=money_words(record.study.budget),
        disclosures=to_be_said(disclosures.disclosures_of(wb, parts)), margin=record.study.margin,
        held=material.held, figured=material.figured,
    )  # fmt: skip


def backings_of(
    wb: Workbench, record: StudyOnRecord, judgement: Judgement
) -> Mapping[tuple[str, str, str], Backing]:
    """What every pair stands on, before no audience and before each."""
    made: dict[tuple[str, str, str], Backing] = {}
    setups = record.study.setups
    for a, b in ((a, b) for i, a in enumerate(setups) for b in setups[i + 1 :]):
        base = backing_of(wb, record, judgement, judgement.audiences[0], (a, b))
        if not base.findings:
            continue
        made[NOBODY, a, b] = replace(base, verdict=None, without="")
        for each in judgement.audiences:
            if not each.stand_in:
                made[each.audience.key, a, b] = replace(base, verdict=each.verdict(a, b), without="")
    return made


def money_words(budget: str) -> tuple[str, ...]:
    """What the brief calls its money.

    >>> money_words("about 1,000 drell a seat")
    ('drell',)
    """
    found = _MONEY_WORD.search(budget)
    return (found[1],) if found else ()


def to_be_said(stand: Sequence[Disclosure]) -> dict[str, tuple[How, ...]]:
    """Every part with what a reader has to be told of it; a part that was bought needs no word."""
    said: dict[str, tuple[How, ...]] = {}
    for each in stand:
        if each.how is not How.BOUGHT:
            said[each.part] = (*said.get(each.part, ()), each.how)
    return said
