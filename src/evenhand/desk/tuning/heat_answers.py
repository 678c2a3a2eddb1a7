"""Temperature logs and what they tell, for programs: the same keys on the command line and over HTTP."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from evenhand.desk.tuning.asking_heat import HeatTold
from evenhand.desk.tuning.coming import limit_answer
from evenhand.desk.tuning.heat import HeatNow, LaterLog
from evenhand.desk.tuning.heat_clocks import ClockAllowed, NoClock, allowed_said
from evenhand.desk.tuning.heat_rows import heat_doubt_said
from evenhand.errors import EvenhandError
from evenhand.publish.tuning.heat import outlook_sentences, settles_words, trouble_words
from evenhand.publish.tuning.heat_logs import rest_words, settled_words
from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Quantity
from evenhand.tuning.bands import Band
from evenhand.tuning.heat_outlook import HeatOutlook, as_known
from evenhand.tuning.network_fit import Fit

Answer = dict[str, Any]


def heat_log_answer(
    heat: LoggedHeat, name: str = "", *, taken_back: str | None = None, silent: EvenhandError | None = None
) -> Answer:
    """One log as it is on record; `name` is what its file was called, `silent` why it was passed over."""
    return {
        "id": heat.id, "key": heat.key, "setup": heat.setup, "part": heat.part, "log": heat.log, "name": name,
        "columns": asdict(heat.columns), "watts_at": heat.watts_at.value, "room_c": heat.room_c,
        "from_s": heat.from_s, "to_s": heat.to_s,
        "clock_mhz": heat.clock_mhz, "voltage_mv": heat.voltage_mv, "settings": dict(heat.settings),
        "at": None if heat.at is None else heat.at.isoformat(), "note": heat.note, "by": heat.by,
        "taken_back": taken_back, "passed_over": None if silent is None else trouble_words(silent),
    }  # fmt: skip


def told_answer(told: HeatTold) -> Answer:
    """``heat --json``: every log there ever was, and what one of them tells; null without any."""
    return {
        "setup": told.tuned.setup,
        "part": told.tuned.part,
        "logs": [
            heat_log_answer(
                each,
                told.names.get(each.log, ""),
                taken_back=told.reasons.get(each.id),
                silent=told.silent.get(each.id),
            )
            for each in told.logs
        ],
        "heat": None if told.now is None else heat_answer(told.now, told.found, told.allowed),
    }


def heat_answer(
    now: HeatNow, found: HeatOutlook | None, allowed: ClockAllowed | NoClock | None = None
) -> Answer:
    """What one log tells, and what of another room, power or cooler."""
    fit, limit = now.fit, now.tuned.limit(Quantity.TEMPERATURE)
    return {
        "log": now.heat.id,
        "trouble": None if now.trouble is None else trouble_words(now.trouble),
        "stages": [] if fit is None else stages_answer(fit),
        "c_per_w": None if fit is None else band_answer(as_known(fit, fit.whole())),
        "explained": None if fit is None else fit.explained,
        "spread_c": None if fit is None else fit.spread_c,
        "held_s": None if now.held is None else now.held.longest_s,
        "needed_s": None if now.held is None else now.held.needed_s,
        "by_fan": [{"fan": fan, "c_per_w": band_answer(each.whole())} for fan, each in now.by_fan.items()],
        "rest": _rest(now),
        "later": [_later(each, now) for each in now.later],
        "fell": _fell(now),
        "limit": None if limit is None else limit_answer(limit),
        "outlook": None if found is None else outlook_answer(found),
        "clock": None if allowed is None else clock_answer(allowed),
        "doubts": [{"doubt": each.name.lower(), "words": heat_doubt_said(each, now)} for each in now.doubts],
    }


def clock_answer(allowed: ClockAllowed | NoClock) -> Answer:
    """How far the clock may go in the room and under the cooler that are told of."""
    words = list(allowed_said(allowed))
    if isinstance(allowed, NoClock):
        return {
            "clock_mhz": None, "at_top": None, "rate": None, "elasticity_tests": [], "load": None,
            "advised_c": None, "not_told": allowed.value, "words": words,
        }  # fmt: skip
    return {
        "clock_mhz": band_answer(allowed.clock_mhz), "at_top": allowed.at_top,
        "rate": band_answer(allowed.rate), "elasticity_tests": list(allowed.elasticity.tests),
        "load": allowed.load, "advised_c": allowed.advised_c, "not_told": None, "words": words,
    }  # fmt: skip


def stages_answer(fit: Fit) -> list[Answer]:
    """The stages, the quickest first."""
    pairs = zip(fit.seconds_bands(), [as_known(fit, each) for each in fit.c_per_w_bands()], strict=True)
    return [{"seconds": band_answer(seconds), "c_per_w": band_answer(each)} for seconds, each in pairs]


def band_answer(band: Band | None) -> Answer | None:
    """A value with its band; an end that nothing bounds is null."""
    if band is None:
        return None
    return {name: value if math.isfinite(value) else None for name, value in asdict(band).items()}


def _rest(now: HeatNow) -> Answer | None:
    """How the network of all other rows holds at rest after load."""
    if now.rest is None:
        return None
    return {
        "mean_c": now.rest.mean_c, "most_c": now.rest.most_c, "others_c": now.rest.others_c,
        "words": rest_words(now.rest),
    }  # fmt: skip


def _later(each: LaterLog, now: HeatNow) -> Answer:
    """A later log that is passed over, and where it settled."""
    found = each.settled
    return {
        "log": each.number,
        "settled_c": found and found.temperature_c, "watts": found and found.watts,
        "room_c": found and found.room_c, "says_c": None if found is None else band_answer(found.says),
        "words": None if found is None else settled_words(each.number, now.heat.id, found),
    }  # fmt: skip


def _fell(now: HeatNow) -> Answer | None:
    if now.fell is None:
        return None
    fall = now.fell.fall
    return {
        "from_mhz": fall.from_mhz, "to_mhz": fall.to_mhz, "begins_s": fall.begins_s,
        "temperature_c": now.fell.temperature_c, "watts": now.fell.watts,
        "settles_c": band_answer(now.fell_settles),
        "words": now.fell_said,
    }  # fmt: skip


def outlook_answer(found: HeatOutlook) -> Answer:
    """What a network says of a room, a power and a cooler."""
    under = found.under
    return {
        "room_c": found.room_c, "watts": found.watts, "rest_w": found.rest_w,
        "steady_c": band_answer(found.steady), "headroom_c": band_answer(found.headroom),
        "at_limit_w": band_answer(found.at_limit_w), "at_limit_room_c": band_answer(found.at_limit_room_c),
        "reached_s": band_answer(found.reached_s),
        "cooler": None if under is None else {
            "c_per_w": under.c_per_w.value, "sd": under.c_per_w.sd,
            "instead_of_c_per_w": band_answer(under.instead_of), "steady_c": band_answer(under.steady),
            "headroom_c": band_answer(under.headroom),
        },
        "words": [settles_words(found), *outlook_sentences(found)],
    }  # fmt: skip
