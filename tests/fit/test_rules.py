"""Each rule by its own terms: what fits, what doesn't, and what nobody can tell yet."""

from __future__ import annotations

from functools import partial
from typing import Any

import pytest
from tests.fit.parts import part, said, told

from evenhand.fit.answers import Answer
from evenhand.fit.known import checked, fact_kinds
from evenhand.fit.reading import Item
from evenhand.fit.rules import rules

FITS, MISFIT, UNKNOWN = Answer.FITS, Answer.MISFIT, Answer.UNKNOWN
memory, case, cooler, graphics, supply, fans, processor, screen = (
    partial(part, kind)
    for kind in ("memory", "case", "cooler", "graphics", "supply", "fans", "processor", "screen")
)
TWO_SETS = (
    memory("a", modules=2, module_gb=16, speed=6000),
    memory("b", modules=2, module_gb=16, speed=6000),
)

PLAIN: tuple[tuple[str, tuple[Item, ...], Answer | None], ...] = (
    ("socket", (processor(socket="Q5"), part("board", socket="q-5")), FITS),
    ("socket", (processor(socket="Q5"), part("board", socket="T4")), MISFIT),
    ("socket", (processor(socket="Q5"), part("board")), UNKNOWN),
    ("socket", (processor(socket="Q5"),), None),
    ("memory-kind", (memory(type="K5"), part("board", memory_type="K4")), MISFIT),
    ("memory-kind", (memory(type="K5"), part("board", memory_type="K5")), UNKNOWN),
    ("memory-slots", (*TWO_SETS, part("board", memory_slots=4)), FITS),
    ("memory-slots", (*TWO_SETS, part("board", memory_slots=2)), MISFIT),
    ("memory-slots", (TWO_SETS[0], memory("c"), part("board", memory_slots=2)), UNKNOWN),
    ("memory-slots", (*TWO_SETS, memory("c"), part("board", memory_slots=2)), MISFIT),
    ("memory-size", (*TWO_SETS, part("board", memory_most_gb=64, memory_slots=4)), FITS),
    ("memory-size", (*TWO_SETS, part("board", memory_most_gb=48, memory_slots=4)), MISFIT),
    ("memory-size", (TWO_SETS[0], part("board", memory_most_gb=48, memory_slots=4)), UNKNOWN),
    (
        "memory-size",
        (TWO_SETS[0], part("board", memory_most_gb=48, memory_slots=4, memory_module_most_gb=16)),
        FITS,
    ),
    ("cooler-height", (cooler(way="air", height_mm=155), case(cooler_height_mm=155)), FITS),
    ("cooler-height", (cooler(way="air", height_mm=156), case(cooler_height_mm=155)), MISFIT),
    ("cooler-height", (cooler(way="liquid", height_mm=156), case(cooler_height_mm=155)), None),
    ("cooler-height", (cooler(height_mm=150), case(cooler_height_mm=155)), UNKNOWN),
    ("cooler-memory", (cooler(way="air", over_memory=False), memory()), FITS),
    (
        "cooler-memory",
        (cooler(way="air", over_memory=True, memory_height_mm=38), memory(height_mm=44)),
        MISFIT,
    ),
    ("supply-format", (supply(format="SFX"), case(supply_formats=["ATX"])), MISFIT),
    (
        "supply-format",
        (supply(format="ATX", length_mm=180), case(supply_formats=["ATX"], supply_length_mm=170)),
        MISFIT,
    ),
    (
        "radiator",
        (cooler(way="liquid", radiator="360"), case(radiators=[{"name": "top", "sizes": ["240"]}])),
        MISFIT,
    ),
    (
        "radiator",
        (
            cooler(way="liquid", radiator="240"),
            case(radiators=[{"name": "top"}, {"name": "front", "sizes": ["240"]}]),
        ),
        FITS,
    ),
    ("radiator", (cooler(way="liquid", radiator="240"), case(radiators=[{"name": "top"}])), UNKNOWN),
    ("graphics-thickness", (graphics(thickness_slots=2.5), case(slots=3)), FITS),
    ("graphics-thickness", (graphics(thickness_slots=3.1), case(slots=3)), MISFIT),
    ("graphics-height", (graphics(height_mm=130, leads_16pin=1), case(graphics_height_mm=164)), MISFIT),
    (
        "graphics-height",
        (graphics(height_mm=130, leads_16pin=0, leads_8pin=2, leads_6pin=0), case(graphics_height_mm=150)),
        FITS,
    ),
    ("graphics-height", (graphics(height_mm=130), case(graphics_height_mm=135)), UNKNOWN),
    ("fan-headers", (fans(plugs=3), cooler(fan_plugs=2), part("board", fan_headers=5)), FITS),
    (
        "fan-headers",
        (fans(plugs=3), cooler(fan_plugs=2), case(own_fans=1), part("board", fan_headers=5)),
        MISFIT,
    ),
    (
        "lights",
        (fans(light_plugs_5v=1, light_plugs_12v=0), part("board", light_headers_5v=0, light_headers_12v=2)),
        MISFIT,
    ),
    ("lights", (fans(light_plugs_5v=0, light_plugs_12v=0), part("board")), FITS),
    ("front-leads", (case(front_leads=["USB-C"]), part("board", front_headers=["usb c"])), FITS),
    ("front-leads", (case(front_leads=["USB 5", "USB 5"]), part("board", front_headers=["USB 5"])), MISFIT),
)


@pytest.mark.parametrize(("rule", "build", "answer"), PLAIN)
def test_a_rule_says(rule: str, build: tuple[Item, ...], answer: Answer | None) -> None:
    assert said(rule, *build) == answer


FIRMWARE = part("board", firmware="1.3", firmware_for={"osk-5": "1.20", "osk-3": "any"}, firmware_alone=True)


def test_firmware_that_is_too_old_says_how_it_is_updated() -> None:
    (found,) = told("firmware", processor("osk-5"), FIRMWARE)
    assert found.answer is MISFIT
    assert "without a processor" in found.todo


@pytest.mark.parametrize(("key", "answer"), [("osk-3", FITS), ("osk-7", UNKNOWN)])
def test_firmware_by_processor(key: str, answer: Answer) -> None:
    assert said("firmware", processor(key), FIRMWARE) == answer


def test_memory_above_its_rating_goes_in_and_says_so() -> None:
    board = part("board", memory_channels=2, memory_speed_one=6000, memory_speed_two=5200)
    (found,) = told("memory-speed", *TWO_SETS, board)
    assert (found.answer, found.remark) == (
        FITS,
        "It is rated for 5,200 MT/s so, and the memory for 6,000 MT/s.",
    )
    (alone,) = told("memory-speed", TWO_SETS[0], board)
    assert (alone.answer, alone.remark) == (FITS, "")


CARD = {"leads_6pin": 0, "leads_8pin": 0, "leads_16pin": 1, "lead_16pin_w": 450}


@pytest.mark.parametrize(
    ("sockets", "plugs", "answer"),
    [
        ({"leads_6pin": 1, "leads_8pin": 2, "leads_16pin": 0}, {"leads_8pin": 3}, FITS),
        ({"leads_6pin": 1, "leads_8pin": 2, "leads_16pin": 0}, {"leads_8pin": 2}, MISFIT),
        ({"leads_6pin": 0, "leads_8pin": 0, "leads_16pin": 0}, {}, FITS),
        (CARD, {"leads_16pin": 1, "lead_16pin_w": 450}, FITS),
        (CARD, {"leads_16pin": 1, "lead_16pin_w": 300}, MISFIT),
        (CARD, {"leads_16pin": 1}, UNKNOWN),
        (CARD, {"leads_16pin": 0}, MISFIT),
    ],
)
def test_plugs_of_a_supply(sockets: dict[str, Any], plugs: dict[str, Any], answer: Answer) -> None:
    assert said("supply-graphics", graphics(**sockets), supply(**plugs)) == answer


@pytest.mark.parametrize(("power", "answer"), [(525, FITS), (526, MISFIT), (None, UNKNOWN)])
def test_a_card_draws_no_more_than_it_is_fed_by(power: float | None, answer: Answer) -> None:
    told = CARD if power is None else {**CARD, "power_w": power}
    assert said("graphics-power", graphics(**told)) == answer


SCREEN = screen(inputs=["HDMI"])


@pytest.mark.parametrize(
    ("build", "answer"),
    [
        ((graphics(outputs=["HDMI", "DisplayPort"]), SCREEN), FITS),
        ((graphics(outputs=["DisplayPort"]), processor(own_graphics=False), SCREEN), MISFIT),
        ((processor(own_graphics=True), SCREEN), FITS),
        ((processor(own_graphics=False), SCREEN), MISFIT),
        ((processor(own_graphics=False),), MISFIT),
        ((processor(),), UNKNOWN),
    ],
)
def test_a_picture_comes_from_what_is_live(build: tuple[Item, ...], answer: Answer) -> None:
    assert said("picture", *build, part("board", outputs=["HDMI"])) == answer


@pytest.mark.parametrize(
    ("outputs", "inputs", "answer", "remark"),
    [
        (["HDMI 2.1"], ["HDMI 2.0"], FITS, "HDMI 2.1 into HDMI 2.0: "),
        (["HDMI 2.1", "DisplayPort 1.4"], ["HDMI 2.0", "Display Port 1.4"], FITS, ""),
        (["HDMI", "HDMI 2.1"], ["HDMI 2.0"], FITS, "HDMI 2.1 into HDMI 2.0: "),
        (["HDMI"], ["HDMI 2.0"], FITS, ""),  # nobody knows which is older
        (["Mini DisplayPort 1.4"], ["DisplayPort 1.4"], MISFIT, ""),
        (["USB 4"], ["USB 3"], MISFIT, ""),
        (["HDMI 2.1"], ["DisplayPort 1.4"], MISFIT, ""),
    ],
)
def test_versions_of_one_plug_go_into_each_other(
    outputs: list[str], inputs: list[str], answer: Answer, remark: str
) -> None:
    build = (
        part("processor", own_graphics=True), part("board", outputs=outputs), part("screen", inputs=inputs),
    )  # fmt: skip
    (found,) = told("picture", *build)
    assert found.answer is answer
    assert found.remark.startswith(remark)
    assert bool(found.remark) is bool(remark)


@pytest.mark.parametrize(("places", "answer"), [(1, MISFIT), (2, FITS), (None, UNKNOWN)])
def test_two_supplies_ask_for_two_places(places: int | None, answer: Answer) -> None:
    facts = {} if places is None else {"supply_places": places}
    tower = part("case", supply_formats=["ATX"], supply_length_mm=200, **facts)
    two = [part("supply", key, format="ATX", length_mm=150) for key in ("one", "other")]
    assert said("supply-format", *two, tower) is answer
    assert said("supply-format", two[0], tower) is FITS


def test_every_rule_is_about_kinds_and_facts_that_there_are() -> None:
    known = fact_kinds()
    for rule in rules():
        assert set(rule.of) <= set(known), rule.key
        for kind, fact in (
            each for both in (*rule.same, *rule.among, *rule.at_most, *rule.total) for each in both
        ):
            assert fact in known[kind], (rule.key, fact)


def test_every_rule_has_its_reason_and_whoever_has_the_last_word() -> None:
    for rule in rules():
        assert rule.asks.endswith("?")
        assert rule.reason.endswith(".")
        assert rule.caution.endswith(".")


def test_facts_are_checked_as_they_are_written_down() -> None:
    assert checked("board", {"slots": [{"name": "one", "lanes": 16}]}, where="part x")
    for kind, facts, found in (
        ("board", {"sockt": "Q5"}, "no fact of a board is called 'sockt'"),
        ("graphics", {"length_mm": -3}, "length is not a number from 0 on"),
        ("graphics", {"leads_8pin": True}, "8-pin power sockets is not a whole number"),
        ("board", {"slots": [{"lanes": 16}]}, "expansion slots is not a list of tables"),
        ("supply", {"efficiency_by_load": {"120": 90}}, "not a table of loads"),
        ("graphics", {"short_times": {"0.2": 1.7}}, "not a table of milliseconds"),
        ("graphics", {"short_times": {"0.1": 20}}, "not a table of milliseconds"),
        ("supply", {"efficiency": 101}, "not a number from 0 to 100"),
        ("desk", {"width": 3}, "no fact of a desk is called 'width'"),
    ):
        with pytest.raises(Exception, match=found):
            checked(kind, facts, where="part x")


@pytest.mark.parametrize(
    ("place", "wanted"),
    [
        ("front", MISFIT),
        ("in front", MISFIT),
        ("at the Front, lower", MISFIT),
        ("bay A", UNKNOWN),
        ("top", FITS),
    ],
)
def test_a_card_behind_a_radiator_has_the_room_that_is_left_unless_it_is_told_to_be_elsewhere(
    place: str, wanted: Answer
) -> None:
    own = case(
        radiators=[{"name": place, "sizes": ["240"]}], graphics_length_mm=400,
        graphics_length_behind_radiator_mm=320,
    )  # fmt: skip
    cooler = part("cooler", way="liquid", radiator="240")
    assert said("graphics-length", part("graphics", length_mm=330), own, cooler) is wanted
