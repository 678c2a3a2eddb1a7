"""Questions from the audience, answered from the record: as measured, as follows from that, or not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations
from typing import Any

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.publication.publishing import last_edition
from evenhand.desk.publication.scripts import ground_of
from evenhand.desk.publication.snapshots import claim_address
from evenhand.desk.verdict.not_known import not_known
from evenhand.desk.verdict.of_tuning import tuned_told
from evenhand.desk.verdict.spending import Spending, spending
from evenhand.errors import BadRecord
from evenhand.metrics.definitions import definition
from evenhand.prose.asked import by_metric
from evenhand.prose.ground import NOBODY, Ground
from evenhand.prose.rules import ENGLISH, rules
from evenhand.prose.wanted import LONGEST, Matter, Wanted, wanted
from evenhand.publish.numbers import capital, listed
from evenhand.records.publications import Publication
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench
from evenhand.verdicts.backing import Backing
from evenhand.verdicts.claims import Kind, Rung, Standing
from evenhand.verdicts.ladder import standing
from evenhand.verdicts.publishable import Sentence

MOST_PAIRS = 3
MOST_SIGNS = LONGEST  # of a question
EVIDENCE = {Matter.NOISE: Kind.NOISE, Matter.HEAT: Kind.HEAT, Matter.POWER: Kind.POWER}
BY_WHOLE_QUESTION = (*EVIDENCE, Matter.VALUE)  # of what names nothing on record these foretell nothing


class Known(StrEnum):
    """How far the record answers."""

    MEASURED = "measured"
    FOLLOWS = "follows from what was measured"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One sentence of an answer, why it may be said or not, and its address, "" where it has none."""

    words: str
    known: Known
    why: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A question, how far the record answers it, in which sentences, and what the budget leaves."""

    question: str
    asked: Wanted
    known: Known
    lines: tuple[Line, ...]
    budget: tuple[str, ...] = ()


def answer(wb: Workbench, study: str, question: str, *, language: str = ENGLISH) -> Answered:
    """What the record has to say to a question, never beyond the rung. Raises NotFound, and BadRecord."""
    if not question.strip():
        raise BadRecord("nothing was asked", where="the question", todo="name two setups, and for what")
    record = load_study(wb, study)
    refuse_hidden(record)
    ground = ground_of(wb, record)
    asked = wanted(question, ground, rules(language))
    money = spending(asked.budget, asked.setups if len(asked.setups) > 1 else ground.setups, ground)
    lines = tuple(
        dict.fromkeys(_lines(wb, record, ground, (asked, money)))
    )  # alike for every pair: said once
    order = list(Known)
    known = min((line.known for line in lines), key=order.index, default=Known.UNKNOWN)
    return Answered(question=question.strip(), asked=asked, known=known, lines=lines, budget=money.words)


def _lines(
    wb: Workbench, record: StudyOnRecord, ground: Ground, about: tuple[Wanted, Spending]
) -> Iterator[Line]:
    """A sentence for each pair and each thing that is asked of it, or for each tuned part."""
    if about[0].matter is Matter.TUNED:
        yield from _of_tuning(about[0], ground)
    else:
        yield from _of_pairs(wb, record, ground, about)


def _of_tuning(asked: Wanted, ground: Ground) -> Iterator[Line]:
    """What tuned parts may be called."""
    for told, why in tuned_told(asked, ground):
        yield Line(words=told, known=Known.MEASURED if why else Known.UNKNOWN, why=why)


def _of_pairs(
    wb: Workbench, record: StudyOnRecord, ground: Ground, about: tuple[Wanted, Spending]
) -> Iterator[Line]:
    """What is asked of setups held against each other, or why nothing is known of it."""
    asked, money = about
    names = listed(tuple(ground.names.setup(each) for each in ground.setups))
    if not asked.setups and not asked.compares:
        yield Line(words=f"It names none of the setups on record, {names}.", known=Known.UNKNOWN)
        return
    if len(asked.setups) == 1 and asked.against:
        only = ground.names.setup(asked.setups[0])
        yield Line(
            words=f"Of two to be held against each other only {only} is on record; there are {names}.",
            known=Known.UNKNOWN,
        )  # fmt: skip
        return
    if asked.unheard or (asked.unknown and asked.matter in BY_WHOLE_QUESTION):
        yield from (Line(words=told, known=Known.UNKNOWN) for told in not_known(asked, ground))
        return
    if asked.unknown:
        yield Line(
            words=f"Nothing on record is called “{asked.unknown}”: it was not measured.", known=Known.UNKNOWN
        )
    place = published_at(wb, last_edition(wb, record.study.key))
    pairs = _pairs(ground, asked, money)
    if asked.parts and not pairs:
        yield Line(
            words="No two machines on record hold these parts against each other.", known=Known.UNKNOWN
        )
    if not pairs and money.within and not asked.parts:
        yield _nothing_to_choose(ground, asked, money.within)
    for first, other in pairs:
        for how, audience in _standings(ground, asked, (first, other)):
            line = _line(how, ground, (first, other), audience, place)
            yield _by(asked.metric, line) if how.kind is Kind.TEST and asked.metric else line


def _by(metric: str, line: Line) -> Line:
    """A line that says by which number; only what is told by the headline number has an address."""
    return replace(line, words=f"By the {definition(metric).label}: {line.words}", address="")


def _pairs(ground: Ground, asked: Wanted, money: Spending) -> list[tuple[str, str]]:
    """The pairs asked about: those named; of one named, it and each other; else all.

    Of those that were not named both, only what the budget leaves is held against each other: whoever has no
    more to spend cannot buy the other.
    """
    every = list(combinations(ground.setups, 2))
    if asked.parts:
        return [pair for pair in every if _holds_against(asked.parts, pair, ground)][:MOST_PAIRS]
    if len(asked.setups) > 1:
        return list(combinations(asked.setups, 2))[:MOST_PAIRS]
    left = ground.setups if money.within is None else money.within
    own = [pair for pair in every if set(pair) <= set(left) and set(asked.setups) <= set(pair)]
    return own[:MOST_PAIRS]


def _nothing_to_choose(ground: Ground, asked: Wanted, within: tuple[str, ...]) -> Line:
    """What is said where a budget leaves nothing that could be held against anything."""
    if asked.setups and asked.setups[0] not in within:
        words = f"{ground.names.setup(asked.setups[0])} is not to be had for that."
    else:
        only = listed(tuple(ground.names.setup(each) for each in within))
        words = f"Of all on record {only} alone is to be had for that: there is nothing to choose between."
    return Line(words=words, known=Known.FOLLOWS)


def _holds_against(parts: tuple[str, ...], pair: tuple[str, str], ground: Ground) -> bool:
    """Whether a pair holds these parts against each other: one in each, or the one named in one alone."""
    first, other = ({part for part in parts if part in ground.inside.get(each, ())} for each in pair)
    return bool(first or other) and not first & other and first | other == set(parts[:2])


def _standings(ground: Ground, asked: Wanted, pair: tuple[str, str]) -> Iterator[tuple[Standing, str]]:
    """What is asked of the ladder for a pair, and before which audience."""
    plain = _backing(ground, pair, NOBODY)
    if plain is None:
        return
    if asked.matter is Matter.LASTING:
        yield standing(Kind.LASTING, plain), NOBODY
    elif asked.matter is Matter.CAUSE:
        for kind in (asked.kind,) if asked.kind else unlike_kinds(ground, pair):
            yield standing(Kind.CAUSE, plain, about=kind, tests=asked.tests), NOBODY
    elif asked.matter in EVIDENCE:
        yield from ((how, NOBODY) for how in _evidence(plain, asked))
    elif asked.matter is Matter.UNTESTED or asked.unknown:
        groups = asked.groups or [group for group in plain.indexes if group] or [""]
        yield from ((standing(Kind.FORECAST, plain, about=group), NOBODY) for group in groups)
    elif asked.tests or asked.metric:
        yield from ((how, NOBODY) for how in _by_tests(ground, asked, plain))
    elif asked.groups and not asked.audiences:
        yield from ((standing(Kind.INDEX, plain, about=group), NOBODY) for group in asked.groups)
    else:
        yield from _for_people(ground, asked, pair, plain)


def _by_tests(ground: Ground, asked: Wanted, plain: Backing) -> Iterator[Standing]:
    """Test by test, by the number that is asked for: nothing joins tests by another than the headline one."""
    own = by_metric(plain, asked.metric) if asked.metric else plain
    told = {f.test for f in own.findings}
    group = asked.groups[0] if asked.groups else ""
    for test in asked.tests or tuple(t for t in ground.group_tests(group) if t in told):
        yield standing(Kind.TEST, own, about=test, tests=(test,))


def unlike_kinds(ground: Ground, pair: tuple[str, str]) -> tuple[str, ...]:
    """The kinds of part in which the two differ."""
    kinds = dict.fromkeys(part.kind for part in ground.parts)
    return tuple(kind for kind in kinds if not ground.alike(kind, pair))


def _for_people(
    ground: Ground, asked: Wanted, pair: tuple[str, str], plain: Backing
) -> Iterator[tuple[Standing, str]]:
    """A verdict, and the better value where money is asked about, for each audience that is meant."""
    money = asked.matter is Matter.VALUE or asked.budget is not None or asked.buys
    people = asked.audiences or (tuple(ground.audiences) if money else ())
    over_all = not people or (asked.buys and not asked.audiences and asked.matter is Matter.SPEED)
    if over_all:
        yield standing(Kind.INDEX, plain, about=""), NOBODY
    for audience in people:
        own = _backing(ground, pair, audience)
        if own is not None:
            if asked.matter is not Matter.VALUE and not over_all:
                yield standing(Kind.AUDIENCE, own), audience
            if money:
                yield standing(Kind.VALUE, own), audience


def _evidence(backing: Backing, asked: Wanted) -> Iterator[Standing]:
    """Noise, heat or power, test by test: those that are asked about, or all in which it was read."""
    kind = EVIDENCE[asked.matter]
    if kind is Kind.POWER:
        read = [(f.test, "") for f in backing.power if (f.a, f.b) == (backing.a, backing.b)]
    else:
        read = [
            (gap.test, gap.part) for gap in backing.gaps
            if (gap.a, gap.b) == (backing.a, backing.b) and bool(gap.part) is (kind is Kind.HEAT)
        ]  # fmt: skip
    own = [each for each in dict.fromkeys(read) if not asked.tests or each[0] in asked.tests]
    for test, part in own:
        yield standing(kind, backing, about=part, tests=(test,))
    if not own:
        yield standing(kind, backing)


def _backing(ground: Ground, pair: tuple[str, str], audience: str) -> Backing | None:
    return ground.backing(*pair, audience)[0]


def _line(how: Standing, ground: Ground, pair: tuple[str, str], audience: str, place: str) -> Line:
    """A standing as a sentence: the one asked about where it stands, else what does, as not known."""
    backing, turned = ground.backing(*pair, audience)
    own = pair[::-1] if turned and backing is not None else pair
    alone = len(how.tests) == 1  # of a sentence over many tests its own words say which
    why = capital(how.reason.told(ground.voice)) + "."
    said = how.would_stand
    if not how.allowed or said is None:
        instead = "" if said is None else f" What stands: {said.told(ground.voice)}"
        where = listed(tuple(ground.names.test(t) if t else "idle" for t in how.tests)) if alone else ""
        told = f"{capital(where)}: {how.reason.told(ground.voice)}." if where else why
        return Line(words=f"{told}{instead}", known=Known.UNKNOWN)
    address = claim_address(Sentence(said=said, standing=how), own)
    known = Known.MEASURED if how.rung is Rung.SCENE else Known.FOLLOWS
    return Line(words=said.told(ground.voice), known=known, why=why, address=f"{place}#{address}")


def published_at(wb: Workbench, edition: Publication | None) -> str:
    """The page that claims are quoted by; "" where nothing is published or no place is told."""
    place = imprint_now(wb).place
    return place if edition is not None and place else ""


def question_answer(found: Answered, study: str) -> dict[str, Any]:
    """``ask --json``."""
    return {
        "study": study,
        "question": found.question,
        "known": found.known.name.lower(),
        "matter": found.asked.matter.value,
        "answers": [
            {"words": line.words, "known": line.known.name.lower(), "why": line.why, "address": line.address}
            for line in found.lines
        ],
        "budget": list(found.budget),
        "unheard": list(found.asked.not_on_record),
    }
