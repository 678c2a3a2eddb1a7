"""Shares in a sentence on tuned parts: what was gained over stock, work for a joule, how surely."""

from __future__ import annotations

from dataclasses import replace

from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named
from evenhand.prose.tuned_amounts import Amount
from evenhand.prose.tuned_record import BY_TOPIC, OnRecord, Parts, as_said, rises, told
from evenhand.prose.tuned_said import Span
from evenhand.tuning.figured import Of


def is_gain(amount: Amount, parts: Parts, reading: Reading, *, about: bool) -> bool:
    """Whether a share in a sentence that names a test is what tuning gained there, setups by short names."""
    sentence = reading.sentence
    told = reading.rules["tuning.topic.gain"].search(sentence.text) and not sentence.of(Named.SETUP)
    return bool(about and told and amount.unit == "%" and any(parts.of(Of.GAIN, "%")))


def of_shares(
    amount: Amount, parts: Parts, own: frozenset[str], whole: frozenset[str], reading: Reading, *, span: Span
) -> list[OnRecord] | None:
    """What was gained in the tests that are named, on average where none is; work for a joule."""
    text, rules = reading.sentence.text, reading.rules
    if _is_share(amount, parts, reading) or rules["tuning.within"].search(text[: amount.span[0]]):
        return [as_said(amount)]
    topic = next((each for each in ("work", "gain") if each in whole), None)
    if topic is None or (topic == "gain" and not own & {"gain"} and own & {"drawn"}):
        return None
    figures = list(parts.of(BY_TOPIC[topic], amount.unit))
    tests = reading.sentence.keys(Named.TEST)
    if topic == "gain" and not rules["tuning.up_to"].search(text):
        figures = [each for each in figures if each.test in (tests or ("",))] or figures
    if rules["tuning.at_least"].search(text[: amount.span[0]]):
        figures += [
            replace(each, value=amount.first.value) for each in figures if each.value > amount.first.value
        ]
    clock = rules["tuning.own_clock"].search(reading.text(span))
    return [*told(figures), *(rises(parts) if clock else ())]


def _is_share(amount: Amount, parts: Parts, reading: Reading) -> bool:
    """Whether a share says how surely something is advised."""
    shares = {each.goal.share for each in parts.figured if each.goal is not None}
    before = reading.sentence.text[: amount.span[0]]
    return any(amount.tells(100 * share) for share in shares) and bool(
        reading.rules["tuning.surely"].search(before)
    )
