"""What a page needs to answer by itself what other prices, hours, tariffs and years would make of it."""

from __future__ import annotations

from typing import Any

from evenhand.desk.money.basis import MoneyGround
from evenhand.folders.worth_written import currency_table
from evenhand.publish.owning_words import uncounted_words


def moving_ground(ground: MoneyGround, pair: tuple[str, str]) -> dict[str, Any]:
    """Everything that `web/static/owning.js` works with, nothing rounded."""
    edge = ground.edges.get(pair)
    kept = ground.kept
    return {
        "pair": list(pair),
        "setups": list(ground.priced),
        "names": {setup: ground.names.setup(setup) for setup in ground.priced},
        "prices": {setup: ground.prices[setup] for setup in ground.priced},
        "watts": dict(ground.watts),
        "edge": None if edge is None else {"effect": edge.effect, "half": edge.half},
        "fixed": ground.fixed_minor,
        "margin": ground.margin,
        "currency": currency_table(ground.currency),
        "kept": {
            "years": kept.years, "repairs": kept.repairs_minor, "resale": list(kept.resale),
            "fall": list(kept.fall), "hours": kept.hours and list(kept.hours),
            "tariff": kept.tariff and list(kept.tariff),
        },
        "uncounted": uncounted_words(["watts"]) if not ground.watts else "",
    }  # fmt: skip
