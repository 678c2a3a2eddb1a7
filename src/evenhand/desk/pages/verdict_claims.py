"""The ladder of the verdict page, sentences that stand and that do not, and what else was measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.desk.verdict.claiming import Claims
from evenhand.publish.numbers import capital
from evenhand.verdicts.beside import FRAMES
from evenhand.verdicts.claims import Kind, Rung, Shown
from evenhand.verdicts.publishable import Sentence

MOST_REFUSED = 5
BESIDE: Mapping[str, str] = {
    Kind.NOISE: "Noise",
    Kind.HEAT: "Heat at equal noise",
    Kind.POWER: "Power at the wall",
    FRAMES: "Energy for each frame",
}
CAUTION: Mapping[str, str] = {
    FRAMES: "Watts at the wall over the average frame rate of the same run; a score has no frames.",
    Kind.POWER: "Readings of a rated mains meter only; local electrical rules come first.",
    Kind.NOISE: "One meter, one place, one distance; the room without the machine is read as well.",
    Kind.HEAT: "Temperatures above the room, at the same loudness; the maker’s limits hold.",
}
NOT_MEASURED = "Not measured."


@dataclass(frozen=True, slots=True, kw_only=True)
class RungLine:
    """One rung, highest first: what it claims, why it stands or not, and how it is marked."""

    name: str
    reason: str
    sort: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SentenceLine:
    """A sentence with its rung; one that is refused says why, and what would stand in its place."""

    words: str
    rung: str
    why: str = ""
    instead: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideLine:
    """What else was measured in one way: sentences, or that and why there is nothing."""

    name: str
    said: tuple[str, ...]
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimsPart:
    """The ladder and its sentences; `more` are those of single tests, which stand a press away.

    `causes` says what is known of causes in single tests, `apart` what the index over all tests says where
    this audience has no verdict; "" where nothing is.
    """

    heading: str
    causes: str
    rungs: tuple[RungLine, ...]
    publishable: tuple[SentenceLine, ...]
    more: tuple[SentenceLine, ...]
    refused: tuple[SentenceLine, ...]
    beside: tuple[BesideLine, ...]
    apart: str = ""


def claims_part(claims: Claims) -> ClaimsPart:
    """Claims as the page shows them."""
    stands = claims.ladder.stands_on
    told = [s for s in claims.publishable if s.standing.kind not in BESIDE]
    return ClaimsPart(
        heading=_heading(claims),
        causes=_causes(claims),
        rungs=tuple(_rungs(claims, stands)),
        publishable=tuple(_line(s, claims) for s in told if s.rung > Rung.SCENE),
        more=tuple(_line(s, claims) for s in told if s.rung <= Rung.SCENE),
        refused=tuple(_refused(s, claims) for s in claims.refused[:MOST_REFUSED]),
        beside=tuple(_beside(kind, claims) for kind in BESIDE),
        apart=f"The index over all tests stands by itself: “{claims.apart.told(claims.voice)}”"
        if claims.apart
        else "",
    )


def _heading(claims: Claims) -> str:
    """The rung of the verdict's own sentence, as that is told beside it."""
    stands = claims.ladder.stands_on
    if claims.without:
        return "No verdict stands"
    if stands is None:
        return "No verdict stands on these tests yet"
    name = next(rung.name for rung in claims.ladder.rungs if rung.rung is stands)
    return f"This verdict stands on rung {int(stands)}: {name[:1].lower()}{name[1:]}"


def _causes(claims: Claims) -> str:
    """What is known of causes in single tests, which is no part of the verdict's own sentence."""
    known = next(rung for rung in claims.ladder.rungs if rung.rung is Rung.CAUSE)
    if known.shown is Shown.NOT_SHOWN:
        return ""
    return f"Of causes in single tests: {known.reason.told(claims.voice)}."


def _rungs(claims: Claims, stands: Rung | None) -> Iterator[RungLine]:
    for rung in reversed(claims.ladder.rungs):
        held = rung.shown is Shown.SHOWN
        sort = "stand" if rung.rung is stands else "held" if held else ""
        reason = capital(rung.reason.told(claims.voice))
        said = {Shown.SHOWN: "", Shown.PARTLY: "Partly: ", Shown.NOT_SHOWN: "Not shown: "}[rung.shown]
        reason = reason if not said else f"{said}{reason[:1].lower()}{reason[1:]}"
        yield RungLine(name=rung.name, reason=f"{reason}.", sort=sort)


def _line(sentence: Sentence, claims: Claims) -> SentenceLine:
    return SentenceLine(words=sentence.said.told(claims.voice), rung=f"Rung {int(sentence.rung)}")


def _refused(sentence: Sentence, claims: Claims) -> SentenceLine:
    how = sentence.standing
    instead = how.would_stand.told(claims.voice) if how.would_stand else ""
    return SentenceLine(
        words=sentence.said.told(claims.voice), rung=f"Rung {int(sentence.rung)}, not shown",
        why=f"{capital(how.reason.told(claims.voice))}.", instead=instead,
    )  # fmt: skip


def _beside(kind: str, claims: Claims) -> BesideLine:
    """What was measured in one way, place by place; where nothing was, that."""
    own = tuple(said.told(claims.voice) for said in claims.beside.get(kind, ()))
    return BesideLine(name=BESIDE[kind], said=own or (NOT_MEASURED,), caution=CAUTION[kind])
