"""Numbers of results that were typed by hand, bound to no reference."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.clauses import clauses
from evenhand.prose.ground import Ground
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.reading import Reading
from evenhand.prose.references import written
from evenhand.prose.scopes import Scope, scope_of
from evenhand.prose.signs import Named
from evenhand.prose.spelling import decimals_of, value_of
from evenhand.prose.spoken import place_of

LOOSE = frozenset({"%", "W", "dB", "K", "points", ""})  # units in which methods are told as well
# Their words are in sentences on other sorts, too: of these a clause speaks where it has no word of others.
BROAD = frozenset({"lead", "joules"})
LEAST_WIDTH = 0.5  # a figure in words is rounded at least to whole units


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number of a result as it was typed: its value in `unit` ("" where none is said).

    `worded` says that it is a share or a multiple in words.
    """

    span: tuple[int, int]
    value: float | None
    unit: str
    decimals: int = 0
    sorts: tuple[str, ...] = ()
    worded: bool = False


def bare_figures(reading: Reading) -> Iterator[Objection]:
    """Every typed figure of a result: none is bound, and one that the record contradicts is told so."""
    for figure in _typed(reading):
        exempt, wrong_margin = _is_method(figure, reading)
        if wrong_margin:
            yield _objection(figure, reading, Rule.CONTRARY_NUMBER, _margin_words(reading), "{margin}")
        elif not exempt:
            yield _judged(figure, reading)


def _typed(reading: Reading) -> Iterator[Figure]:
    """Figures with a unit, shares in words, and marks out of something."""
    rules = reading.rules
    taken: list[tuple[int, int]] = []
    masked = _masked(reading)
    for unit in rules.units:
        for found in rules[f"amount.{unit.unit}"].finditer(masked):
            if _free(found.span(), taken):
                taken.append(found.span())
                yield Figure(
                    span=found.span(), value=value_of(found["n"], rules), unit=unit.unit,
                    decimals=decimals_of(found["n"]), sorts=unit.sorts,
                )  # fmt: skip
    for words, value in rules.plain["figures"]["words"].items():
        for found in rules[f"figures.words.{words}"].finditer(masked):
            if _free(found.span(), taken) and _speaks_of_setups(reading):
                taken.append(found.span())
                yield Figure(span=found.span(), value=float(value), unit="%", sorts=("lead",), worded=True)
    marks = (rules["figures.scores.pattern"], rules["figures.pair.pattern"])
    for found in (each for mark in marks for each in mark.finditer(masked)):
        if _free(found.span(), taken) and (reading.sentence.of(Named.SETUP) or reading.context.recent):
            yield Figure(span=found.span(), value=value_of(found["n"], rules), unit="")


def _masked(reading: Reading) -> str:
    """The sentence without names of metrics, whose numbers are none of a result."""
    text = reading.sentence.text
    for metric in reading.rules.metrics:
        text = metric.pattern.sub(lambda found: "_" * len(found[0]), text)
    return text


def _free(span: tuple[int, int], taken: list[tuple[int, int]]) -> bool:
    return all(span[1] <= start or span[0] >= end for start, end in taken)


def _is_method(figure: Figure, reading: Reading) -> tuple[bool, bool]:
    """Whether a figure is of the method and not of a result, and whether it misstates the margin."""
    rules, margin = reading.rules, 100 * reading.ground.margin
    nearby = int(rules.plain["figures"]["exempt"]["nearby"])
    low, high = max(0, figure.span[0] - nearby), figure.span[1] + nearby
    around = reading.sentence.text[low:high]
    if figure.worded:
        return bool(rules["figures.exempt.share"].search(around)), False
    sets = bool(rules["figures.exempt.setting"].search(around)) and not _has_sides(reading)
    if figure.unit == "%" and figure.value is not None:
        told = rules["figures.exempt.margin"].search(around) or not (
            _has_sides(reading) or _has_test(reading)
        )
        if abs(figure.value - margin) < 1e-9 and told:
            return True, False
        if sets:
            return False, True
    if figure.unit == "K" and rules["figures.exempt.room"].search(around) and not _is_of_result(reading):
        return True, False
    if figure.unit in ("K", "dB") and rules["figures.exempt.margin"].search(around):
        return _is_margin_of(figure, reading.ground), False
    if figure.unit in LOOSE and figure.unit and not _is_of_result(reading):
        return True, False
    kind = "method" if figure.unit in LOOSE else "strict"
    return bool(rules[f"figures.exempt.{kind}"].search(around)), False


def _has_sides(reading: Reading) -> bool:
    return bool(reading.sentence.of(Named.SETUP))


def _speaks_of_setups(reading: Reading) -> bool:
    """Whether it names a setup, or goes back to some that were named."""
    spoken = (reading.rules[name].search(reading.sentence.text) for name in ("roles.it", "roles.both"))
    return _has_sides(reading) or (bool(reading.context.recent) and any(spoken))


def _has_test(reading: Reading) -> bool:
    return bool(reading.sentence.of(Named.TEST))


def _is_of_result(reading: Reading) -> bool:
    """Whether a sentence speaks of a machine, a test or a comparison at all, and not of how was measured."""
    text, rules = reading.sentence.text, reading.rules
    spoken = any(rules[name].search(text) for name in ("roles.it", "roles.both", "figures.exempt.result"))
    return spoken or _has_sides(reading) or _has_test(reading) or bool(reading.sentence.of(Named.PART))


def _is_margin_of(figure: Figure, ground: Ground) -> bool:
    """Whether a figure is the margin that gaps in this unit were held against."""
    margins = {g.margin for b in ground.backings.values() for g in b.gaps if g.unit == figure.unit}
    return any(figure.value is not None and abs(figure.value - m) < 1e-9 for m in margins)


def _margin_words(reading: Reading) -> str:
    margin = reading.ground.quotables.figures.get("margin")
    return reading.rules.words("contrary_margin", words=margin.words if margin else "—")


def _judged(figure: Figure, reading: Reading) -> Objection:
    """A typed figure: the reference to put in its place, or what the record has instead."""
    rules = reading.rules
    text = _words(figure, reading)
    known = tuple(_candidates(figure, reading))
    alike = [q for q in known if _equal(figure, q)]
    if alike:
        reason = rules.words("bare_known", figure=text)
        return _objection(
            figure, reading, Rule.BARE_NUMBER, reason, written(alike[0], reading.ground.quotables)
        )
    near = known[0] if known else None
    if near is None:
        return _objection(figure, reading, Rule.BARE_NUMBER, rules.words("bare", figure=text), "")
    offered = written(near, reading.ground.quotables)
    if any(_inside(figure, q) for q in known):
        reason = rules.words("bare", figure=text)
        return _objection(figure, reading, Rule.BARE_NUMBER, reason, offered)
    reason = rules.words("contrary", figure=text, words=near.ranged, address=offered[1:-1])
    return _objection(figure, reading, Rule.CONTRARY_NUMBER, reason, offered)


def _words(figure: Figure, reading: Reading) -> str:
    return place_of(figure.span, reading)[1]


def _objection(figure: Figure, reading: Reading, rule: Rule, reason: str, would: str) -> Objection:
    place, excerpt = place_of(figure.span, reading)
    return Objection(rule=rule, place=place, excerpt=excerpt, reason=reason, would_stand=would)


def _candidates(figure: Figure, reading: Reading) -> Iterator[Quotable]:
    """Figures of the record that a typed one may mean, by unit, setups and scope.

    Those of the sort that its clause speaks of come first, and among these the nearest.
    """
    span = _clause_of(figure.span, reading)
    named = set(reading.sentence.keys(Named.SETUP, span) or reading.context.recent[:2])
    if reading.context.subject and reading.rules["roles.it"].search(reading.text(span)):
        named.add(reading.context.subject)
    scope = _scope(span, reading)
    fitting = [
        q for q in reading.ground.quotables.figures.values()
        if q.sort.value in figure.sorts and (not figure.unit or q.unit == figure.unit)
        and q.setups and set(q.setups) <= named and _in_scope(q, scope)
    ]  # fmt: skip
    both = [q for q in fitting if set(q.setups) == named] or fitting
    value, spoken = figure.value or 0.0, sorts_spoken(span, reading)
    yield from sorted(both, key=lambda q: (_aside(q.sort, spoken), abs(q.value - value), q.address))


def sorts_spoken(span: tuple[int, int], reading: Reading) -> frozenset[str]:
    """The sorts of figure that the words of a clause are of."""
    rules, text = reading.rules, reading.text(span)
    return frozenset(n for n in rules.plain.get("topics", {}) if rules[f"topics.{n}"].search(text))


def _aside(sort: Sort, spoken: frozenset[str]) -> int:
    """How far a sort is from what a clause speaks of: 0 where its words are of it."""
    if sort.value not in spoken:
        return 2
    return 1 if sort.value in BROAD else 0


def _clause_of(span: tuple[int, int], reading: Reading) -> tuple[int, int]:
    for clause in clauses(reading.sentence, reading.rules):
        if clause.start <= span[0] < clause.end:
            return clause.span
    return (0, len(reading.sentence.text))


def _scope(span: tuple[int, int], reading: Reading) -> Scope:
    own = scope_of(reading.sentence, span, reading.ground, reading.rules)
    whole = scope_of(reading.sentence, (0, len(reading.sentence.text)), reading.ground, reading.rules)
    return reading.context.scope(own if own.said else whole, reading.text(span), reading.rules)


def _in_scope(figure: Quotable, scope: Scope) -> bool:
    if scope.tests:
        return not figure.audience and not figure.group and set(figure.tests) <= set(scope.tests)
    if scope.audience:
        return figure.audience == scope.audience
    if figure.sort is Sort.LEAD:
        return not figure.audience and figure.group == scope.group and len(figure.tests) > 1
    return True


def _equal(figure: Figure, quoted: Quotable) -> bool:
    """Whether a typed number is the record's within the digits that it was typed with."""
    if figure.value is None:
        return False
    half = 0.5 * 10.0**-figure.decimals
    return abs(abs(quoted.value) - abs(figure.value)) <= half + 1e-9


def _inside(figure: Figure, quoted: Quotable) -> bool:
    """Whether a typed number lies in the record's interval, its own rounding given."""
    if figure.value is None:
        return True
    low, high = quoted.low, quoted.high
    if low is None or high is None:
        return _equal(figure, quoted)
    ends = sorted((abs(low), abs(high)))
    half = max(LEAST_WIDTH * 10.0**-figure.decimals, 0.0)
    return ends[0] - half <= abs(figure.value) <= ends[1] + half
