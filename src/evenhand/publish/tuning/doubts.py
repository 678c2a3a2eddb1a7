"""What is to be doubted of trials, in words: for the one who tunes with what to do, for readers without."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.publish.numbers import counted
from evenhand.tuning.doubts import Doubt
from evenhand.tuning.evidence import MOST_RATED

STOCK_FAILED = (
    "Stock itself failed under this load: nothing is advised until that is mended. Look at cooling, memory, "
    "supply and drivers. A failure stays on record: take it back only where something else is known to have "
    "caused it."
)

OUT_OF_ORDER = "Something else may have been at work."
MOST_PAIRS = 3
"""So many points out of order are named; of more the rest is counted."""

WHY: Mapping[Doubt, str] = {
    Doubt.NO_LIMIT: "No limit of the maker's to the voltage is on record: nothing is advised and no trial "
    "comes next. Look it up and note it with its source.",
    Doubt.NO_CLOCK_LIMIT: "No limit of the maker's to the clock is on record: nothing is advised and no "
    "trial comes next. Look it up and note it with its source.",
    Doubt.NO_STOCK: "The voltage at stock is not noted: nobody knows where to begin. Read it in the firmware "
    "and note it.",
    Doubt.BELOW_STOCK: "A limit lies below stock: one of the two is wrong. See again where both are written.",
    Doubt.TOO_FINE: "The steps that are noted are so fine that there are more points than a plan can go "
    "through: nothing is advised and no trial comes next. See by how many MHz and mV the firmware steps, and "
    "note that.",
    Doubt.PAST_LIMIT: "Some trials lie past a limit that is noted now. That they held there counts for "
    "nothing; set it back if it is set still.",
    Doubt.TOO_HOT: "In some trials the part was hotter than is allowed. Mend the cooling first.",
    Doubt.TOO_MUCH_POWER: "In some trials the part drew more than is allowed. Set it back if it is "
    "set still.",
    Doubt.STOCK_FAILED: STOCK_FAILED,
    Doubt.NOT_CURED: "Some failures seem to be cured by no voltage: a fan, a driver, memory elsewhere.",
    Doubt.OUT_OF_ORDER: f"{OUT_OF_ORDER} The same point once more would tell.",
    Doubt.CLOCK_UNLIMITED: "No limit of the maker's to the clock is on record, though the plan goes above "
    "stock. Look it up and note it with its source; to leave the clock at stock, note stock as a limit of "
    "your own.",
    Doubt.HEAT_UNCHECKED: "The limit of the temperature was not checked at what is advised: nobody "
    "read the part there or beyond it for ten minutes. Read it in the next trial.",
    Doubt.POWER_UNCHECKED: "The limit of the power was not checked at what is advised: nobody read "
    "the part's own watts there or beyond it for ten minutes. Read them in the next trial.",
    Doubt.LOGS_DIFFER: "Two temperature logs that tell as much differ by more than 2 °C, and the later is "
    "believed: where it settles by each is told with the temperature logs. Take back the one that holds no "
    "more.",
    Doubt.ONE_TRIAL: "There is one trial only: it tells of its own hours and of nothing else.",
    Doubt.NEVER_FAILED: "Nothing failed yet: where the edge lies is not known.",
    Doubt.NEVER_HELD: "Nothing held yet. Begin at stock.",
    Doubt.CORRECTED: "Some errors were corrected. They count as failures here: each was a wrong bit, and "
    "two at once may not be corrected.",
    Doubt.MANY_ERRORS: f"Where a trial counted more than {MOST_RATED} errors, only that it fails at least "
    "so often is taken from it: a load counts no faster than it works.",
    Doubt.BETWEEN_STEPS: "Some trials lie between the steps that are noted for clock and voltage: see "
    "whether trials or steps are wrong. What held there counts for the step that asks for less of the part, "
    "what failed for the one that asks for more.",
    Doubt.UNDER_ROOM: "In some trials the part was told cooler under load than the air it drew in. See "
    "whether the two readings are mixed up.",
    Doubt.ROOM_UNREAD: "The room was not read in some trials: put a thermometer at its air inlet.",
    Doubt.NO_HOTTEST_ROOM: "The hottest room to expect is not noted: the warmest one tried stands for it.",
}
"""What a doubt says, and what to do about it."""

FOR_READERS: Mapping[Doubt, str] = {
    **WHY,
    Doubt.NO_LIMIT: "No limit of the maker's to the voltage is on record, so that nothing is advised.",
    Doubt.NO_CLOCK_LIMIT: "No limit of the maker's to the clock is on record, so that nothing is advised.",
    Doubt.NO_STOCK: "The voltage at stock is not on record, so that nothing is advised.",
    Doubt.BELOW_STOCK: "A limit on record lies below stock: one of the two is wrong, and nothing is advised.",
    Doubt.TOO_FINE: "The steps on record are too fine for a plan, so that nothing is advised.",
    Doubt.PAST_LIMIT: "Some trials lie past a limit that is on record now. That they held there counts for "
    "nothing.",
    Doubt.TOO_HOT: "In some trials the part was hotter than is allowed.",
    Doubt.TOO_MUCH_POWER: "In some trials the part drew more than is allowed.",
    Doubt.STOCK_FAILED: "Stock itself failed under this load, so that nothing is advised: the cause may lie "
    "in cooling, memory, supply or drivers.",
    Doubt.OUT_OF_ORDER: OUT_OF_ORDER,
    Doubt.CLOCK_UNLIMITED: "No limit of the maker's to the clock is on record.",
    Doubt.HEAT_UNCHECKED: "The limit of the temperature was not checked at what is advised: nobody "
    "read the part there for ten minutes.",
    Doubt.POWER_UNCHECKED: "The limit of the power was not checked at what is advised: nobody read "
    "the part's own watts there for ten minutes.",
    Doubt.LOGS_DIFFER: "Two temperature logs that tell as much differ by more than 2 °C, and the later is "
    "believed.",
    Doubt.NEVER_HELD: "Nothing held yet.",
    Doubt.BETWEEN_STEPS: "Some trials lie between the steps of clock and voltage on record. What held there "
    "counts for the step that asks for less of the part, what failed for the one that asks for more.",
    Doubt.UNDER_ROOM: "In some trials the part was told cooler under load than the air it drew in: one of "
    "the two readings is wrong.",
    Doubt.ROOM_UNREAD: "The room was not read in some trials.",
}
"""The same for those who read about a part: nothing that they were to do."""


def uncured_words(trials: Sequence[str]) -> str:
    """Which failures those are, as a sentence; "" without any.

    >>> uncured_words(["4,650 MHz at 1,245 mV, integers: crashed or hung after 30 min"])
    'The first to be looked at: 4,650 MHz at 1,245 mV, integers: crashed or hung after 30 min.'
    """
    return f"The first to be looked at: {'; '.join(trials)}." if trials else ""


def order_words(pairs: Sequence[tuple[str, str]]) -> str:
    r"""Which points failed, and what held although it asks more of the part, as a sentence.

    >>> order_words([("4,600 MHz at 1,165 mV", "4,600 MHz at 1,160 mV")])
    '4,600 MHz at 1,165 mV failed although 4,600 MHz at 1,160 mV held, which asks more of the part.'
    >>> order_words([("a", "b"), ("c", "d"), ("e", "f"), ("g", "h")])[-44:]
    'more of the part; and so did one point more.'
    """
    said = [f"{bad} failed although {good} held" for bad, good in pairs[:MOST_PAIRS]]
    more = len(pairs) - len(said)
    also = f"; and so did {counted(more, 'point')} more" if more else ""
    return f"{'; '.join(said)}, which asks more of the part{also}."
