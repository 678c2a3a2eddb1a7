"""What cools a tuned part, by the temperature log that tells most."""

from __future__ import annotations

from evenhand.desk.tuning.heat import last_told
from evenhand.records.trials import Meter, Quantity, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known, reach
from evenhand.tuning.bearing import Settling
from evenhand.tuning.efficiency import Cooled
from evenhand.tuning.network_fit import varied


def cooled_of(wb: Workbench, tuned: Tuned, *, room_c: float) -> tuple[Cooled | None, Meter | None]:
    """Degrees per watt in a room, and the meter whose watts these are; None where no log tells them."""
    now = last_told(wb, tuned)
    fit = None if now is None else now.fit
    if now is None or fit is None or not varied(fit.log):
        return None, None
    whole = fit.whole()
    c_per_w = Known(value=whole.value, sd=whole.half / reach(fit.df))
    return Cooled(c_per_w=c_per_w, room_c=Known(value=room_c)), now.heat.watts_at


def settling_of(wb: Workbench, tuned: Tuned) -> Settling | None:
    """How warm a watt makes the part at last, where its maker limits its temperature and a log tells it."""
    if tuned.limit(Quantity.TEMPERATURE) is None:
        return None
    cooled, meter = cooled_of(wb, tuned, room_c=0.0)
    told = last_told(wb, tuned)
    if cooled is None or meter is None or told is None:
        return None
    return Settling(c_per_w=cooled.c_per_w.value, meter=meter, disputed=told.earlier is not None)
