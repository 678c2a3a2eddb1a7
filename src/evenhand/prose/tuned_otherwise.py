"""What is told of a typed figure of a tuned part that the record has otherwise, by its size or by its way."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.references import written
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_amounts import Amount
from evenhand.prose.tuned_record import OnRecord
from evenhand.prose.tuned_ways import Way


def is_so(amount: Amount, way: Way | None, one: OnRecord) -> bool:
    """Whether an amount is one on record, and lies as it does."""
    return _is_as_large(amount, one) and _lies(way, one)


def otherwise(amount: Amount, way: Way | None, found: Sequence[OnRecord], reading: Reading) -> Objection:
    """That the record has another figure, or the same the other way, and which; or that it has none of it."""
    turned = [each for each in found if _is_as_large(amount, each) and each.directed]
    if turned and way is not None:
        span = (min(amount.span[0], way.span[0]), max(amount.span[1], way.span[1]))
        return _told(span, turned[0], turned[0].directed, reading)
    said = [each for each in found if each.words]
    far = {each: abs(abs(each.value) - abs(amount.first.value)) for each in said}
    near = min(said, key=lambda each: (not each.first, far[each]), default=None)
    if near is None:
        wall = reading.rules["tuning.at_the_wall"].search(reading.sentence.text) is not None
        return nothing("tuned_wall" if wall else "tuned_unknown", amount.span, reading)
    against = way is not None and not _lies(way, near)
    return _told(amount.span, near, near.directed if against else near.words, reading)


def nothing(name: str, span: tuple[int, int], reading: Reading) -> Objection:
    """That nothing on record tells it."""
    place, excerpt = place_of(span, reading)
    reason = reading.rules.words(name, figure=excerpt)
    return Objection(rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, reason=reason, would_stand="")


def _told(span: tuple[int, int], near: OnRecord, words: str, reading: Reading) -> Objection:
    rules, ground, would = reading.rules, reading.ground, ""
    place, excerpt = place_of(span, reading)
    if near.address:
        figure = ground.quotables.figures.get(near.address)
        would = "" if figure is None else written(figure, ground.quotables)
        told_as = would[1:-1] or near.address
        reason = rules.words("contrary", figure=excerpt, words=words, address=told_as)
    else:
        reason = rules.words("tuned_apart", figure=excerpt, words=words)
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, reason=reason, would_stand=would
    )


def _is_as_large(amount: Amount, one: OnRecord) -> bool:
    return amount.tells(one.value, one.low, one.high)


def _lies(way: Way | None, one: OnRecord) -> bool:
    return way is None or not one.way or way.sign == one.way
