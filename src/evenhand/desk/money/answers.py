"""Value and ownership for programs, as `docs/formats-json.md` says: amounts in smallest units."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.money.basis import MoneyGround, Tried, ground_for
from evenhand.desk.money.days import AllLed, Replayed, all_led, replay
from evenhand.desk.money.gridding import price_grid_of
from evenhand.desk.money.owning import difference, owning, stand_by_owning
from evenhand.desk.money.valuing import Valued, valued
from evenhand.desk.on_record import load_study
from evenhand.desk.parts.price_days import build_looks
from evenhand.desk.study.worth_answers import currency_answer
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.money.break_even import Value
from evenhand.money.owning import Owned, Range
from evenhand.store.workbench import Workbench


def money_of_study(wb: Workbench, study: str, *, audience: str | None, tried: Tried) -> MoneyGround:
    """The ground of an audience, the first for None. Raises NotFound; BadRecord where money says nothing."""
    record = load_study(wb, study)
    refuse_hidden(record)
    judgement = judged_for(wb, record, only=audience)
    here = judgement.audiences[0]
    if here.trouble is not None:
        raise here.trouble
    found = ground_for(record, judgement, here, tried)
    if found is None:
        raise BadRecord(
            "fewer than two machines have a price in the study's currency", where=study,
            todo="write prices down: evenhand price BUILD AMOUNT",
        )  # fmt: skip
    return found


def replays(wb: Workbench, ground: MoneyGround, *, today: date) -> tuple[Replayed, ...]:
    """The last ninety days of each pair."""
    looks = build_looks(wb, ground.record)
    found = (replay(ground, looks, pair, today=today) for pair in ground.edges)
    return tuple(each for each in found if each is not None)


def all_at_once(wb: Workbench, ground: MoneyGround, *, today: date) -> AllLed | None:
    """The last ninety days of all machines at once; None of fewer than three."""
    return all_led(ground, build_looks(wb, ground.record), today=today)


def money_answer(ground: MoneyGround, days: tuple[Replayed, ...], led: AllLed | None) -> dict[str, Any]:
    """All that is said of money for one audience."""
    value = valued(ground)
    return {
        "study": ground.record.study.key,
        "audience": ground.here.audience.key,
        "stand_in": ground.here.stand_in,
        "currency": currency_answer(ground.currency),
        "prices": dict(ground.prices),
        "value": None if value is None else value_answer(value),
        "days": [days_answer(each) for each in days],
        "led": None if led is None else led_answer(led),
        "owning": owning_answer(ground),
    }


def value_answer(value: Valued) -> dict[str, Any]:
    """Price and performance."""

    def span(index: tuple[float, float | None, float | None]) -> dict[str, float | None]:
        return dict(zip(("value", "low", "high"), index, strict=True))

    return {
        "more": value.more_minor,
        "for_money": [
            {
                "setup": row.setup, "index": span(row.index), "per_thousand": span(row.alone),
                "with_more": span(row.with_more),
            }
            for row in value.rows
        ],
        "leads": [{"setup": each.setup, "from": each.fixed_from} for each in value.leads],
        "pairs": [
            {
                "a": each.a, "b": each.b, "stands": each.stand.value, "level_at": each.even.at,
                "level_low": each.even.low, "level_high": each.even.high,
            }
            for each in value.pairs
        ],
    }  # fmt: skip


def days_answer(found: Replayed) -> dict[str, Any]:
    """The days of a pair."""
    return {
        "a": found.a, "b": found.b, "until": found.until.isoformat(), "days": len(found.days),
        "a_days": found.counted(Value.A), "b_days": found.counted(Value.B),
        "neither_days": found.counted(Value.LEVEL), "out_days": found.out,
        "turns": [
            {"on": turn.on.isoformat(), "before": turn.before.value, "after": turn.after.value}
            for turn in found.turns
        ],
    }  # fmt: skip


def led_answer(found: AllLed) -> dict[str, Any]:
    """The days of all machines at once."""
    return {
        "setups": list(found.machines), "until": found.until.isoformat(), "days": len(found.days),
        "known_days": found.known, "out_days": found.out,
        "led": [{"setups": list(setups), "days": many} for setups, many in found.led.items()],
    }  # fmt: skip


def grid_answer(ground: MoneyGround, pair: str) -> dict[str, Any]:
    """Who of two setups ("a~b", the first two for "") is better value at each pair of prices.

    Raises NotFound for a pair that is not compared, BadRecord where nothing is said of its value.
    """
    known = {"~".join(each): each for each in ground.edges}
    if pair and pair not in known:
        raise NotFound(f"no pair with prices is called '{pair}'", where="pair", todo=nearest(pair, known))
    found = None if not known else price_grid_of(ground, known[pair or next(iter(known))])
    if found is None:
        raise BadRecord(
            "nothing is said of the value of these two", where=ground.record.study.key,
            todo="measure more of what this audience weighs",
        )  # fmt: skip
    a, b = known[pair or next(iter(known))]
    return {
        "study": ground.record.study.key, "audience": ground.here.audience.key,
        "currency": currency_answer(ground.currency), "a": a, "b": b, "fixed": ground.fixed_minor,
        "margin": ground.margin, "a_prices": list(found.a_minor), "b_prices": list(found.b_minor),
        "stands": [[each.value for each in row] for row in found.stands],
    }  # fmt: skip


def owning_answer(ground: MoneyGround) -> dict[str, Any]:
    """What each costs to own, and how far two are apart."""
    found, kept = owning(ground), ground.kept
    return {
        "years": kept.years,
        "hours": kept.hours and list(kept.hours),
        "tariff": kept.tariff and list(kept.tariff),
        "repairs": kept.repairs_minor,
        "resale": list(kept.resale),
        "fall": list(kept.fall),
        "said": ground.said,
        "lacking": list(found.lacking),
        "setups": [_owned(setup, own, ground) for setup, own in found.by_setup.items()],
        "apart": list(_apart(ground)),
    }


def _owned(setup: str, own: Owned, ground: MoneyGround) -> dict[str, Any]:
    return {
        "setup": setup, "price": own.price_minor, "watts": ground.watts.get(setup),
        "energy": None if own.energy is None else _range(own.energy), "repairs": own.repairs_minor,
        "fetches": _range(own.fetches), "whole": _range(own.whole), "swings": dict(own.swings),
    }  # fmt: skip


def _apart(ground: MoneyGround) -> Iterator[dict[str, Any]]:
    for a, b in ground.edges:
        stands = stand_by_owning(ground, a, b).value
        yield {"a": a, "b": b, **_range(difference(ground, a, b)), "stands": stands}


def _range(found: Range) -> dict[str, int]:
    return {"low": found.low, "mid": found.mid, "high": found.high}
