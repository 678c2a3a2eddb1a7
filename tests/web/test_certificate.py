"""A certificate of one's own is made once, kept private, and made anew when it must be."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from evenhand.desk.opening import Desk
from evenhand.rig.asking import Address, ShutOut, ask
from evenhand.web.certificate import certificate_for
from evenhand.web.served import Site
from evenhand.web.serving import listen, serve

NOW = datetime.now(UTC)
NAMES = ("localhost", "127.0.0.1", "bench.local")


def test_it_is_made_once(tmp_path: Path) -> None:
    place = tmp_path / "bench.evenhand"
    first = certificate_for(place, NAMES, now=NOW)
    assert certificate_for(place, NAMES, now=NOW) == first
    assert first.key.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(
    ("names", "later"), [((*NAMES, "192.0.2.9"), timedelta()), (NAMES, timedelta(days=790))]
)
def test_it_is_made_anew_for_another_name_or_when_it_runs_out(
    tmp_path: Path, names: tuple[str, ...], later: timedelta
) -> None:
    place = tmp_path / "bench.evenhand"
    first = certificate_for(place, NAMES, now=NOW)
    assert certificate_for(place, names, now=NOW + later).fingerprint != first.fingerprint


def test_a_damaged_one_is_made_anew(tmp_path: Path) -> None:
    place = tmp_path / "bench.evenhand"
    first = certificate_for(place, NAMES, now=NOW)
    first.certificate.write_text("no certificate")
    assert certificate_for(place, NAMES, now=NOW).fingerprint != first.fingerprint


def test_a_rig_talks_only_to_the_holder_of_the_certificate_it_was_told(wb: Desk) -> None:
    made = certificate_for(wb.path, NAMES, now=NOW)
    opened = replace(listen(0), certificate=made)
    ready, stop = threading.Event(), threading.Event()
    site = Site(wb=wb, certificate=made.fingerprint)
    thread = threading.Thread(
        target=serve, args=(site, opened), kwargs={"ready": lambda _: ready.set(), "stop": stop}
    )
    thread.start()
    try:
        assert ready.wait(10)
        url = opened.url.rstrip("/")
        right = Address(url=url, token="t", fingerprint=made.fingerprint)
        assert ask(right, "GET", "/static/mark.svg").status == 200
        with pytest.raises(ShutOut, match="another certificate"):
            ask(replace(right, fingerprint="00" * 32), "GET", "/static/mark.svg")
    finally:
        stop.set()
        thread.join(10)
