"""Let rigs, phones and programs of the local network in, and shut them out; the rig program itself."""

from __future__ import annotations

import re
from hashlib import sha256
from typing import Annotated
from urllib.parse import quote, urlsplit

import segno
from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from evenhand.desk.bench.admitting import Admitted, admit, known_by, shut_out
from evenhand.desk.pages.devices import devices_page
from evenhand.desk.pages.home import first_bench
from evenhand.errors import BadRecord
from evenhand.records.devices import Device, Scope
from evenhand.rig.bundle import NAME, bundle
from evenhand.web.admission import COOKIE, NoWayIn
from evenhand.web.certificate import shown
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(include_in_schema=False)

OF_A_STUDY = re.compile(r"/studies/[\w-]+(/[\w-]+)*")
LASTS_S = 400 * 24 * 3600  # the longest that browsers keep a cookie


@router.get("/devices")
def devices(request: Request, site: Here, kind: Scope = Scope.PHONE) -> Response:
    """Who may take part, and a form for the next one, of a kind that may be named beforehand."""
    return page_of(request, site, typed={"name": "", "scope": kind.value, "build": ""})


@router.post("/devices")
def let_in(
    request: Request,
    site: Here,
    name: Annotated[str, Form()] = "",
    scope: Annotated[str, Form()] = "phone",
    build: Annotated[str, Form()] = "",
    back: Annotated[str, Form()] = "",
) -> Response:
    """Makes a link for a device; it is shown this once."""
    try:
        wanted = Scope(scope) if scope in set(Scope) else Scope.PHONE
        made = admit(site.wb, name=name, scope=wanted, build=build or None, now=site.now())
    except BadRecord as error:
        typed = {"name": name, "scope": scope, "build": build}
        return page_of(request, site, status=422, trouble=error.found, typed=typed, back=study_page(back))
    link = link_for(made, site, at=address_of(request, site))
    return page_of(request, site, link=link, back=study_page(back))


@router.post("/devices/{device}/end")
def end(site: Here, device: str) -> Response:
    """Shuts a device out."""
    shut_out(site.wb, device, now=site.now())
    return RedirectResponse("/devices", status_code=303)


@router.get("/join")
async def join(request: Request, site: Here, token: str = "", to: str = "/") -> Response:
    """The way in for a phone: its link's token becomes a cookie, and is gone from the address."""
    device: Device | None = await run_in_threadpool(known_by, site.wb, token)
    if device is None:
        raise NoWayIn("this link opens nothing here", todo="make a new one on the page Devices")
    if device.scope is Scope.PHONE and to == "/":
        to = await run_in_threadpool(first_bench, site.wb)
    answer = RedirectResponse(to if to.startswith("/") and not to.startswith("//") else "/", status_code=303)
    answer.set_cookie(
        COOKIE,
        token,
        max_age=LASTS_S,
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )
    return answer


@router.get("/rig")
def rig(request: Request, site: Here) -> Response:
    """How a machine under test takes part."""
    return page_of(request, site, typed={"name": "", "scope": "rig", "build": ""})


@router.get(f"/rig/{NAME}")
def rig_program() -> Response:
    """The rig program as one file."""
    headers = {"Content-Disposition": f'attachment; filename="{NAME}"'}
    return Response(bundle(), media_type="application/zip", headers=headers)


def page_of(request: Request, site: Site, *, status: int = 200, **more: object) -> Response:
    """The page of devices, with a link that was just made, or with what is wrong with the form."""
    told: dict[str, object] = {
        "link": None,
        "trouble": "",
        "typed": {"name": "", "scope": "phone", "build": ""},
    }
    told |= {"back": study_page(request.headers.get("referer", "")), **more}
    commands = rig_commands(site, at=address_of(request, site))
    return show(
        request, "devices.html", status=status, page=devices_page(site.wb), site=site, commands=commands,
        program=f"/rig/{NAME}", hashed=sha256(bundle()).hexdigest(), **told,
    )  # fmt: skip


def address_of(request: Request, site: Site) -> str:
    """Where others reach this site: its address in the network, else the one it was asked under just now."""
    asked = str(request.base_url)
    return site.network[0] if site.network and asked not in site.network else asked


def study_page(address: str) -> str:
    """The page of a study that an address names, to go back to it; empty for any other.

    >>> study_page("http://127.0.0.1:8517/studies/saltmarsh/bench?done=3"), study_page("//elsewhere/x")
    ('/studies/saltmarsh/bench', '')
    """
    path = urlsplit(address).path
    return path if OF_A_STUDY.fullmatch(path) else ""


def rig_commands(site: Site, *, at: str, token: str = "TOKEN") -> dict[str, str]:  # noqa: S107  (a place for one)
    """What is typed at a rig: to fetch the program, and to start it with its token."""
    certificate = f" --certificate {site.certificate}" if site.certificate else ""
    insecure = " --insecure" if site.certificate else ""
    return {
        "fetch": f"curl{insecure} -O {at}rig/{NAME}",
        "start": f"python3 {NAME} {at.rstrip('/')} --token {token}{certificate}",
    }


def link_for(made: Admitted, site: Site, *, at: str) -> dict[str, str]:
    """How the new device gets in: a link with its code for a phone, commands for a rig or a program."""
    token = made.token
    if made.device.scope is Scope.RIG:
        return {
            "kind": "rig",
            "name": made.device.name,
            "program": f"{at}rig/{NAME}",
            "code": code_of(f"{at}rig/{NAME}"),
            **rig_commands(site, at=at, token=token),
        }
    url = f"{at}join?token={quote(token)}"
    kind = "phone" if made.device.scope is Scope.PHONE else "program"
    return {
        "kind": kind, "name": made.device.name, "url": url, "token": token, "code": code_of(url),
        "certificate": shown(site.certificate) if site.certificate else "",
    }  # fmt: skip


def code_of(url: str) -> str:
    """A link as a code for a phone's camera: SVG, dark on light whatever the scheme, as cameras want it."""
    drawn: str = segno.make(url, error="m").svg_inline(
        scale=5, border=3, dark="#14201e", light="#fcfdfc", omitsize=True, svgclass="code", lineclass=None
    )
    return drawn
