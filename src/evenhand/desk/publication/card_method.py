"""How a study was measured, in the lines of its method card."""

from __future__ import annotations

from collections import Counter

from evenhand.desk.comparison.comparing import inputs_now
from evenhand.desk.comparison.rehearsed import without_restart
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.publication.card_ground import CardGround
from evenhand.editions.snapshot import from_text
from evenhand.findings.outcomes import LEVEL_INTERVAL, SHOWN_INTERVAL
from evenhand.publish.figures.method_card import Line
from evenhand.publish.left_out import why_left_out
from evenhand.publish.meanings import meaning
from evenhand.publish.numbers import NO_BREAK, capital, counted, level_words, listed, margin_words
from evenhand.records.tests import Measures
from evenhand.store import publications

INDEX = "Index: weighted geometric mean of the ratios of tests."
DIGEST = 12  # characters of the hash of inputs that a card shows
MOST_NAMED = 6  # left-out runs that are named; more are counted by reason


def lines_of_method(ground: CardGround, *, pairs_left: int = 0) -> tuple[tuple[Line, ...], str]:
    """Tests, runs, room, margin, intervals, what was left out, software, numbers; and the foot."""
    record, names = ground.record, ground.names
    tests = tuple(names.test(test.key) for test in record.compared_tests)
    lines = [
        Line(term="Tests", text=f"{listed(tests)}." if tests else "None yet."),
        Line(term="Runs", text=_runs(ground)),
        *([Line(term="Room", text=names.terms_told[0])] if names.terms_told else []),
        *([Line(term="Part", text=names.measured[0])] if names.measured else []),
        Line(term="Margin", text=f"What differs by less than {margin_words(record.study.margin)} is level."),
        Line(term="Bars", text=_bars()),
        Line(term="Left out", text=_left_out(ground)),
        *([Line(term="Software", text=stamps)] if (stamps := _stamps(ground)) else []),
        Line(term="Numbers", text=_numbers(ground)),
        *(Line(term="Changed", text=said) for said in names.changed.terms + names.changed.scores),
        *([Line(term="Script", text=excused)] if (excused := _excused(ground)) else []),
        *([Line(term="Not drawn", text=_pairs_left(pairs_left))] if pairs_left else []),
    ]
    digest = inputs_now(ground.wb, record.study.key)[:DIGEST]
    return tuple(lines), f"Evenhand {CODE_VERSION}, from the record {digest}."


def _runs(ground: CardGround) -> str:
    own = [each for each in ground.record.compared_runs if each.state.counts]
    boots = {(each.run.setup, each.run.boot) for each in own if each.run.boot is not None}
    over = f" over {counted(len(boots), 'boot')}{without_restart(own)}" if boots else ", boots not on record"
    return f"{capital(counted(len(own), 'run'))} that count{'s' if len(own) == 1 else ''}{over}."


def _bars() -> str:
    return (
        f"{level_words(SHOWN_INTERVAL)} interval over repeated runs; level is held by the "
        f"{level_words(LEVEL_INTERVAL)} one. All pairs and tests are counted in (Holm)."
    )


def _left_out(ground: CardGround) -> str:
    """Which runs do not count, and why: each by name, or by reason where they are many."""
    left = [each for each in ground.record.compared_runs if not each.state.counts]
    if not left:
        return "No run."
    if len(left) <= MOST_NAMED:
        return f"{'; '.join(f'{each.run.label} ({_why(each)})' for each in left)}."
    reasons = Counter(_why(each) for each in left)
    told = ", ".join(f"{n} {'waiting' if why == 'waits' else why}" for why, n in reasons.most_common())
    return f"{capital(counted(len(left), 'run'))}: {told}."


def _why(each: RunOnRecord) -> str:
    return why_left_out(each.state, each.decision.reason if each.decision else None)


def _numbers(ground: CardGround) -> str:
    """What the numbers of the set mean."""
    tests = ground.record.compared_tests
    lows = ["low_1pct"] if any(test.measures is Measures.FRAMES for test in tests) else []
    said = meaning([*(test.metric for test in tests), *lows])
    return f"{said} {INDEX}" if said else "None yet."


def _stamps(ground: CardGround) -> str:
    """What all setups share said once, what differs by setup."""
    setups = {key: ground.record.setups[key] for key in ground.record.study.setups}
    keys = dict.fromkeys(key for setup in setups.values() for key in setup.stamps)
    return f"{'; '.join(_stamp(key, ground) for key in keys)}." if keys else ""


def _stamp(key: str, ground: CardGround) -> str:
    values = {s: ground.record.setups[s].stamps.get(key, "not noted") for s in ground.record.study.setups}
    if len(set(values.values())) == 1:
        return f"{key} {next(iter(values.values()))}".replace(" ", NO_BREAK)
    return f"{key} {', '.join(f'{value} ({ground.names.setup(s)})' for s, value in values.items())}"


def _excused(ground: CardGround) -> str:
    """Why the script of the last edition went out though something in it does not stand, or ""."""
    if ground.excused is not None:
        return ground.excused
    editions = publications.publications_of(ground.wb, ground.record.study.key)
    return from_text(editions[-1].body, where="the last edition").excused if editions else ""


def _pairs_left(n: int) -> str:
    has = "has" if n == 1 else "have"
    return f"{capital(counted(n, 'further pair'))} of builds, which {has} intervals alone."
