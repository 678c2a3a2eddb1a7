"""Temperature logs as somebody asks for them: which there are, what one tells, in a study or with none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evenhand.desk.on_record import load_study
from evenhand.desk.tuning.heat import HeatNow, chosen_log, heat_logs, heat_now, telling_log
from evenhand.desk.tuning.heat_clocks import ClockAllowed, NoClock, clock_allowed, clock_of_study
from evenhand.desk.tuning.heat_rows import heat_ever, log_names
from evenhand.desk.tuning.noting import tuned_part
from evenhand.desk.tuning.of_study import now_of, setup_of_study
from evenhand.desk.tuning.series import series_of
from evenhand.desk.tuning.standing import tuning_now
from evenhand.errors import EvenhandError
from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.heat_outlook import HeatAsked, HeatOutlook


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatTold:
    """The temperature logs of a part, all there ever were, and what one of those that count tells.

    `names` are what their files were called, by hash; `reasons` why some were taken back, `silent` why some
    were passed over for an earlier one that tells more, by number. `found` is what was asked about,
    `allowed` how far the clock may go there; None without a network.
    """

    tuned: Tuned
    logs: tuple[LoggedHeat, ...]
    names: Mapping[str, str]
    reasons: Mapping[int, str]
    silent: Mapping[int, EvenhandError] = field(default_factory=dict)
    now: HeatNow | None = None
    found: HeatOutlook | None = None
    allowed: ClockAllowed | NoClock | None = None


def told_heat(
    wb: Workbench, setup: str, part: str, number: int | None, asked: HeatAsked, *, study: str = ""
) -> HeatTold:
    """The logs of a part, and what that of this number tells, or the one that tells most.

    With a study work follows the clock as its tests measured. Raises NotFound for what is not on record.
    """
    tuned = tuned_part(wb, setup, part)
    every, reasons = heat_ever(wb, setup, part)
    told = HeatTold(tuned=tuned, logs=every, names=log_names(wb, every), reasons=reasons)
    counting = heat_logs(wb, setup, part)
    now, silent = telling_log(wb, tuned, counting)
    if number is not None:
        now = heat_now(wb, tuned, chosen_log(counting, number, where=f"{part} of {setup}"))
    told = replace(told, silent=silent)
    found = None if now is None else now.asked(asked)
    if now is None or found is None:
        return replace(told, now=now)
    return replace(told, now=now, found=found, allowed=_allowed(wb, now, found, study))


def _allowed(wb: Workbench, now: HeatNow, found: HeatOutlook, study: str) -> ClockAllowed | NoClock:
    """How far the clock may go under the load of the last trial."""
    series = series_of(wb, now.heat.setup, now.heat.part)[0]
    if not study:
        return clock_allowed(tuning_now(series), now, found)
    record = load_study(wb, study)
    setup_of_study(record, now.heat.setup, where="study")
    return clock_of_study(wb, record, now_of(record, series), now, found)
