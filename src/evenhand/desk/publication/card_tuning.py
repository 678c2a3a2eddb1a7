"""What cards show of tuned parts: of each with trials the map, and the hours behind what is claimed."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.comparison.charting import Set
from evenhand.desk.publication.card_ground import CardGround
from evenhand.desk.tuning.of_study import now_of, tuned_of
from evenhand.desk.tuning.scenes import claim_scene, map_scene
from evenhand.desk.tuning.series import series_of
from evenhand.publish.figures.claim_bar import claim_bar
from evenhand.publish.figures.tuning_map import tuning_map
from evenhand.publish.style import Style
from evenhand.records.trials import Tuned


def tuning_sets(ground: CardGround, style: Style) -> Iterator[Set]:
    """Two cards of each tuned part of a setup that is compared, under the load of its last trial."""
    compared = set(ground.record.study.setups)
    tuned = [each for each in tuned_of(ground.wb, ground.record) if each.setup in compared]
    for part in tuned:
        now = now_of(ground.record, series_of(ground.wb, part.setup, part.part)[0])
        if not now.series.trials:
            continue
        name = _word(part, tuned)
        yield Set(f"tuning-{name}", (tuning_map(map_scene(now), ground.names, style=style),))
        scene = claim_scene(now)
        if scene is not None:
            yield Set(f"hours-{name}", (claim_bar(scene, ground.names, style=style),))


def _word(part: Tuned, every: list[Tuned]) -> str:
    """The part in a file's name: its setup, and which of its tuned parts where it has several."""
    own = [each.part for each in every if each.setup == part.setup]
    return part.setup if len(own) == 1 else f"{part.setup}-{own.index(part.part) + 1}"
