"""Texts that go out beside a video: its description, and the comment that is pinned below it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.editions.article import Correction
from evenhand.editions.part_prices import words_by_part
from evenhand.editions.snapshot import Snapshot, Table
from evenhand.editions.tuned import machine_called, state_told
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.records.prices import Currency
from evenhand.records.publications import PAYS, How, Imprint, Link


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """Where a chapter begins, in seconds from the start, and what it is called."""

    at_s: float
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidBefore:
    """What the last edition's video says or shows otherwise: when, where, as it was and as it is.

    `why` is told of a sentence that is touched, whose `after` is what would stand. `card` says that a card
    shows it, and `within` that it is a figure which is still within the interval that it had.
    """

    at_s: float
    chapter: str
    before: str
    after: str | None
    why: str = ""
    card: bool = False
    within: bool = False

    @property
    def weight(self) -> int:
        """Sentences first, then figures, then cards."""
        return 0 if self.why else 2 if self.card else 1

    @property
    def words(self) -> str:
        """As it was, and as it is."""
        if not self.why:
            return f"{self.before} → {self.after or 'no longer on record'}"
        return f"“{self.before}” {self.why}" + (f" → {self.after}" if self.after else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What stands beside a snapshot in its texts: who publishes, chapters, corrections, which edition.

    `said_before` is what the video of the last edition says and is corrected, `data_digest` that of the whole
    bundle.
    """

    imprint: Imprint
    number: int
    day: str
    chapters: Sequence[Chapter] = ()
    corrections: Sequence[Correction] = ()
    said_before: Sequence[SaidBefore] = ()
    data_digest: str = ""


def description(snapshot: Snapshot, beside: Beside) -> str:
    """A video's description: answer, chapters, parts with dated prices, disclosures, method, corrections."""
    parts = (
        list(_answers(snapshot)),
        list(_chapters(beside.chapters)),
        list(_machines(snapshot, beside.imprint)),
        list(_disclosures(snapshot)),
        list(_links(beside.imprint)),
        list(_method(snapshot)),
        list(_corrections(beside)),
        list(_edition(beside)),
    )
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"


def pinned_comment(snapshot: Snapshot, beside: Beside) -> str:
    """The comment that is pinned: the newest correction, or else the answer and its first limit."""
    if beside.corrections:
        newest = beside.corrections[0]
        lines = [f"Correction, {newest.day}: {newest.reason}.", newest.verdicts]
        lines += _weightiest(newest, beside.said_before)
        where = f" {beside.imprint.place}" if beside.imprint.place else ""
        return "\n".join([*lines, f"Everything, old and new:{where}" if where else ""]).rstrip() + "\n"
    refused = snapshot.refusals[:1]
    limits = [f"What this study does not say: “{row['words']}” ({row['why']})." for row in refused]
    place = [f"All of it: {beside.imprint.place}"] if beside.imprint.place else []
    return "\n".join([*_answers(snapshot), *limits, *place]) + "\n"


def _weightiest(newest: Correction, said: Sequence[SaidBefore]) -> Iterator[str]:
    """What moved, the weightiest first, in so many lines as a comment may have; the rest is counted.

    First verdicts that turned, which viewers need to know before any number, then sentences of the video,
    figures in it, cards in it, and whatever else moved. Figures that stay within their interval are counted.
    """
    heavy = sorted((each for each in said if not each.within), key=lambda each: each.weight)
    told = [*(f"  {each}" for each in newest.turned), *map(in_video_words, heavy), *newest.moved]
    yield from told[:MOST_MOVED]
    slight = sum(each.within for each in said)
    yield from _further(max(len(told) - MOST_MOVED, 0), slight)


def _further(more: int, slight: int) -> Iterator[str]:
    """How much else moved, and where it is told."""
    things = f"{counted(more, 'further thing')} moved" if more else ""
    further = "" if more else "further "
    by_less = f"{counted(slight, f'{further}figure')} {'' if more else 'moved '}by less than "
    by_less += "its interval" if slight == 1 else "their interval"
    said = [each for each in (things, by_less if slight else "") if each]
    if said:
        yield f"… and {', and '.join(said)}; all are on the corrections page."


def in_video_words(said: SaidBefore) -> str:
    """What the video says otherwise, with the time code of its chapter, as viewers follow it."""
    chapter = f" {said.chapter}" if said.chapter else ""
    return f"{clock(said.at_s)}{chapter}: {said.words}"


MOST_MOVED = 8


def clock(seconds: float) -> str:
    """A time code.

    >>> clock(0), clock(75.4), clock(3671)
    ('0:00', '1:15', '1:01:11')
    """
    whole = int(seconds)
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"


def _answers(snapshot: Snapshot) -> Iterator[str]:
    """For each audience what it says in the words of the rung: of the pair, or over three and more."""
    among = [each for each in snapshot.verdicts["audiences"] if each.get("among")]
    if among:
        yield from (f"{isolated(each['audience']['name'])}: {each['among']['words']}." for each in among)
        return
    first = next((each["verdicts"][0] for each in snapshot.verdicts["audiences"] if each["verdicts"]), None)
    for each in snapshot.verdicts["audiences"]:
        for verdict in each["verdicts"]:
            if first is not None and (verdict["a"], verdict["b"]) == (first["a"], first["b"]):
                yield verdict["words"]


def _chapters(chapters: Sequence[Chapter]) -> Iterator[str]:
    if chapters:
        yield "Chapters"
    # Players take chapters only where the first begins at nought.
    for i, each in enumerate(chapters):
        yield f"{clock(0 if i == 0 else each.at_s)} {isolated(each.title)}"


def _machines(snapshot: Snapshot, imprint: Imprint) -> Iterator[str]:
    linked = {link.part: link for link in imprint.links if link.part}
    costs = words_by_part(snapshot)
    for setup in snapshot.setups:
        yield f"{machine_called(snapshot, setup)}: {_price(snapshot, setup)}"
        yield from (f"  {said}" for said in state_told(snapshot, setup))
        for part in setup["parts"]:
            link = linked.get(part["key"])
            cost = costs.get((setup["key"], part["key"]))
            more = (f" ({cost})" if cost else "") + (f", {_to(link)}" if link else "")
            yield f"  {capital(part['kind'])}: {isolated(part['name'])}{more}"


def _price(snapshot: Snapshot, setup: Table) -> str:
    price, told = snapshot.prices.get(setup["key"]), snapshot.study["currency"]
    if price is None or told is None:
        return "no price on record"
    return (
        f"{amount(price['minor'], Currency(**told))}, asked on {day_words(date.fromisoformat(price['on']))}"
    )


def _to(link: Link) -> str:
    return f"{link.to}{f' ({PAYS})' if link.paid else ''}"


def _disclosures(snapshot: Snapshot) -> Iterator[str]:
    """How the reviewer stands to each part of which anything was said; and that of the others nothing was."""
    named = {part["key"]: isolated(part["name"]) for setup in snapshot.setups for part in setup["parts"]}
    by_part: dict[str, list[str]] = {}
    for row in snapshot.disclosures:
        by = f" by {isolated(row['by'])}" if row["by"] else ""
        by_part.setdefault(row["part"], []).append(f"{How(row['how']).meaning}{by}")
    if not by_part:
        yield "Nothing is said of how these parts came here."
        return
    yield "How these parts came here"
    for part, said in by_part.items():
        yield f"  {named.get(part, part)}: {listed(tuple(said))}"
    unsaid = [name for key, name in named.items() if key not in by_part]
    if unsaid:
        yield f"  Nothing is said of {counted(len(unsaid), 'other part')}."


def _links(imprint: Imprint) -> Iterator[str]:
    for link in imprint.links:
        if not link.part:
            yield f"{isolated(link.name)}: {_to(link)}"


def _method(snapshot: Snapshot) -> Iterator[str]:
    """The method in three lines."""
    counting = [run for run in snapshot.runs if run["state"] in ("landed", "kept")]
    margin = with_unit(f"{100 * snapshot.study['margin']:.4g}", "%")
    yield "Method"
    yield (
        f"  {capital(counted(len(snapshot.tests), 'test'))} on {counted(len(snapshot.setups), 'machine')}, "
        f"{number(len(counting))} of {number(len(snapshot.runs))} runs count."
    )
    yield f"  Below {margin} a difference is taken to be too small to matter."
    yield "  Intervals are 95 % unless they say otherwise; all comparisons are counted before any is called."


def _corrections(beside: Beside) -> Iterator[str]:
    if beside.corrections:
        yield "Corrections"
    for each in beside.corrections:
        yield f"  {each.day}: {each.reason}."


def _edition(beside: Beside) -> Iterator[str]:
    where = f" {beside.imprint.place}" if beside.imprint.place else ""
    by = f", {isolated(beside.imprint.name)}" if beside.imprint.name else ""
    yield f"Edition {beside.number}, {beside.day}{by}.{where}"
    if beside.imprint.licence:
        yield f"Licence of its data: {beside.imprint.licence}"
    if beside.data_digest:
        yield f"Digest of its data: {beside.data_digest}"


def texts(snapshot: Snapshot, beside: Beside) -> Mapping[str, str]:
    """Every text by its file name."""
    return {
        "description.txt": description(snapshot, beside),
        "pinned-comment.txt": pinned_comment(snapshot, beside),
    }
