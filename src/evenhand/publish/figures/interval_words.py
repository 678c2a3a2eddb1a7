"""What an interval plot says in words: foot, description, and the state at the end of a page's row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.publish.faces import Face, elide_name
from evenhand.publish.figures.frame import foot_fits, must_say
from evenhand.publish.figures.interval_rows import Pair, Row, holds_notes
from evenhand.publish.numbers import level_words, listed, margin_words
from evenhand.publish.style import Style, page

MOST_STATE = 150  # px: the longest "Plover ahead" that a page has room for


def over(about: Pair) -> str:
    """The first setup over the second, by their names."""
    return f"{about.names.setup(about.a)} over {about.names.setup(about.b)}"


def described(row: Row) -> str:
    """A row as the description tells it."""
    if row.span is None or row.foretold:
        return f"{row.label} {row.word}"
    withheld = f" ({row.withheld})" if row.withheld else ""
    state = "" if row.outcome is None else f", {row.outcome.value}{withheld}"
    again = [
        f", with the {w.setup} run at {w.value} {w.span.words('%', signed=True)}, {w.outcome.value}"
        for w in row.with_runs
    ]
    return f"{row.label} {row.span.words('%', signed=True)}{state}{''.join(again)}"


def foot_of(rows: Sequence[Row], about: Pair, style: Style, part: str) -> list[str]:
    """What the forms mean, said in full where all of it fits, else shorter."""
    brief = replace(about, names=replace(about.names, measured=about.names.measured[-1:]))
    feet = [
        _foot(rows, of, style, (part, full, ones))
        for of in ((about, brief) if len(about.names.measured) > 1 else (about,))
        for full, ones in ((", too small to matter", " ones"), ("", " ones"), ("", ""))
    ]
    whole = [[*foot, *about.names.terms_told] for foot in feet]
    told = [foot for foot in (*whole, *feet) if foot_fits(foot, style, most_foot(rows, style))]
    return told[0] if told else whole[-1]


def most_foot(rows: Sequence[Row], style: Style) -> int:
    """How many lines the foot may take: the narrower a card, the more; more to say why bars are withheld."""
    return 3 if style.narrow or any(row.withheld for row in rows) else 2


def _foot(rows: Sequence[Row], about: Pair, style: Style, wording: tuple[str, str, str]) -> list[str]:
    """All but the terms: `wording` is which part it is, and what may follow the band and "level"."""
    part, small, ones = wording
    first = f"{part} Band: {margin_words(about.margin)}{small}.".lstrip()
    said = [
        first,
        *must_say(about.names, first, style, most_foot=most_foot(rows, style)),
        _bars(rows, about, ones),
        *_withheld(rows),
        *about.reserved,
    ]
    said += [about.meaning, _crossed_out(rows), _perhaps_small(rows, style)]
    return [sentence for sentence in said if sentence]


def _bars(rows: Sequence[Row], about: Pair, ones: str) -> str:
    """Of what level the bars are: level rows show the interval that was held against the margin."""
    drawn = [row for row in rows if row.span is not None and row.span.low is not None]
    by_bounds = dict.fromkeys(row.span.note for row in drawn if row.span is not None and row.span.note)
    usual = [level_words(about.level)] if len(drawn) > sum(row.by_bounds for row in drawn) else []
    levels = [*usual, *(f"level{ones} {level}" if usual else level for level in by_bounds)]
    return f"Bars: {', '.join(levels)}." if levels else ""


def _withheld(rows: Sequence[Row]) -> list[str]:
    """Why bars that stand clear of no difference are unsettled: the tests of each reason together."""
    reasons = dict.fromkeys(row.withheld for row in rows if row.withheld)
    tests = {reason: tuple(row.label for row in rows if row.withheld == reason) for reason in reasons}
    return [f"{listed(own)}: {reason}." for reason, own in tests.items()]


def _perhaps_small(rows: Sequence[Row], style: Style) -> str:
    """What a bar that ends in the band means, where its row has no room to say so."""
    unsaid = any(row.perhaps_small for row in rows) and not holds_notes(rows, style) and not style.roomy
    return "Bars that end in the band: perhaps too small to matter." if unsaid else ""


def _crossed_out(rows: Sequence[Row]) -> str:
    runs = [again.value for row in rows for again in row.with_runs]
    if not runs:
        return ""
    return (
        f"Crossed: with the run at {runs[0]}, left out."
        if len(runs) == 1
        else "Crossed: with a left-out run."
    )


def long_words(row: Row, about: Pair) -> tuple[str, str]:
    """State and interval, as a page has room for."""
    if row.span is None or row.outcome is None:
        return "", row.word
    if row.foretold:
        return "", f"anywhere from {row.word}"
    words = row.span.words("%", signed=True)
    if row.left_out:
        return "", f"would read {words}"
    if row.word in ("one run", "no runs"):
        return "Unsettled", f"{row.word}: {words}"
    leads = row.outcome in (Outcome.AHEAD, Outcome.BEHIND)
    name = about.called(about.a if row.outcome is Outcome.AHEAD else about.b, MOST_STATE, page().text[0])
    ahead = elide_name(name, " ahead", MOST_STATE, size=page().text[0], face=Face.STRONG)
    return (ahead if leads else row.outcome.value.capitalize()), words
