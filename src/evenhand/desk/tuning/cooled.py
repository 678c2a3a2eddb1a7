"""What cools a tuned part, by its last temperature log, where that tells a network."""

from __future__ import annotations

from evenhand.desk.tuning.heat import heat_logs, heat_now
from evenhand.records.trials import Meter, Quantity, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known, reach
from evenhand.tuning.bearing import Settling
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


def settling_of(wb: Workbench, tuned: Tuned) -> Settling | None:
    """How warm a watt makes the part at last, where its maker limits its temperature and a log tells it."""
    if tuned.limit(Quantity.TEMPERATURE) is None:
        return None
    cooled, meter = cooled_of(wb, tuned, room_c=0.0)
    if cooled is None or meter is None:
        return None
    return Settling(c_per_w=cooled.c_per_w.value, meter=meter)
