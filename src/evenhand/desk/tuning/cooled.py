"""What cools a tuned part, by its last temperature log, where that tells a network."""

from __future__ import annotations

from evenhand.desk.tuning.heat import heat_logs, heat_now
from evenhand.records.trials import Meter, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known, reach
from evenhand.tuning.efficiency import Cooled


def cooled_of(wb: Workbench, tuned: Tuned, *, room_c: float) -> tuple[Cooled | None, Meter | None]:
    """Degrees per watt in a room, and the meter whose watts these are; None where no log tells them."""
    logs = heat_logs(wb, tuned.setup, tuned.part)
    fit = heat_now(wb, tuned, logs[0]).fit if logs else None
    if fit is None:
        return None, None
    whole = fit.whole()
    c_per_w = Known(value=whole.value, sd=whole.half / reach(fit.df))
    return Cooled(c_per_w=c_per_w, room_c=Known(value=room_c)), logs[0].watts_at
