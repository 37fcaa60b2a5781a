"""The pages on a local network: https for phones that trust this machine, and one plain page that shows them how."""

import io
import ipaddress
import socket
from collections.abc import Sequence
from contextlib import nullcontext, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from loamwright.errors import InputError
from loamwright.web.certificates import FOLDER, PRIVATE, Certificates, certificates, machine_names
from loamwright.web.render import environment, plain_page, static_folder
from loamwright.web.safety import guard
from loamwright.words.language import tr
from loamwright.words.numbers import day
from loamwright.words.sentences import sentence

if TYPE_CHECKING:
    import uvicorn

router = APIRouter()
CERTIFICATE = "application/x-x509-ca-cert"
_PROBES = ("10.255.255.255", "172.16.255.255", "192.168.255.255", "fdff::1")


@dataclass(frozen=True, slots=True)
class Lan:
    """Where phones find the pages: addresses, names, and the ports of the pages and of the page about trust."""

    addresses: tuple[str, ...]
    names: tuple[str, ...]
    port: int
    trust_port: int
    certificates: Certificates

    @property
    def hosts(self) -> frozenset[str]:
        """Every name a phone may use."""
        return frozenset({*self.addresses, *self.names})

    @property
    def pages(self) -> str:
        """Address of the pages."""
        return f"https://{in_address(self.addresses[0])}:{self.port}"

    @property
    def trust(self) -> str:
        """Address of the page about trust."""
        return f"http://{in_address(self.addresses[0])}:{self.trust_port}"


def in_address(address: str) -> str:
    """An IP address as it stands in a web address."""
    return f"[{address}]" if ":" in address else address


def is_private(address: str) -> bool:
    """Whether an address is one of those kept for local networks.

    >>> is_private("192.168.1.20"), is_private("fd00::2"), is_private("8.8.8.8")
    (True, True, False)
    """
    found = ipaddress.ip_address(address)
    return any(found in ipaddress.ip_network(each) for each in PRIVATE)


def local_addresses() -> tuple[str, ...]:
    """This machine's own addresses on local networks, those of version 4 where there are any. Nothing is sent to find them."""
    found: list[str] = []
    for probe in _PROBES:
        family = socket.AF_INET6 if ":" in probe else socket.AF_INET
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as asking:
            asking.connect((probe, 9))
            found.append(str(asking.getsockname()[0]))
    with suppress(OSError):
        found += [str(each[4][0]).split("%")[0] for each in socket.getaddrinfo(socket.gethostname(), None)]
    private = [each for each in dict.fromkeys(found) if is_private(each) and not ipaddress.ip_address(each).is_loopback]
    four = tuple(each for each in private if ":" not in each)
    return four or tuple(private)


def chosen_addresses(wanted: Sequence[str]) -> tuple[str, ...]:
    """The addresses named, else this machine's own.

    Raises
    ------
    InputError
        "lan_address_not_private" for one that is no address of a local network, "lan_no_address" where there is none.
    """
    for each in wanted:
        try:
            private = is_private(each)
        except ValueError:
            private = False
        if not private:
            raise InputError("lan_address_not_private", typed=each)
    found = tuple(str(ipaddress.ip_address(each)) for each in dict.fromkeys(wanted)) or local_addresses()
    if not found:
        raise InputError("lan_no_address")
    return found


def names_here() -> tuple[str, ...]:
    """This machine's names on its own network."""
    return machine_names(socket.gethostname())


def listen(address: str, port: int) -> socket.socket:
    """A socket that listens; `InputError` ("port_not_free") where it cannot."""
    listening = socket.socket(socket.AF_INET6 if ":" in address else socket.AF_INET)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
        listening.listen(128)
    except OSError as fault:
        listening.close()
        raise InputError("port_not_free", port=port, reason=fault.strerror or str(fault)) from fault
    return listening


def listen_all(addresses: Sequence[str], port: int) -> list[socket.socket]:
    """Sockets on one port of several addresses; 0 takes one that is free on the first."""
    found: list[socket.socket] = []
    try:
        for each in addresses:
            found.append(listen(each, port if port or not found else found[0].getsockname()[1]))
    except InputError:
        for open_one in found:
            open_one.close()
        raise
    return found


def made(beside: Path, *, addresses: Sequence[str], host: str, now: datetime) -> Certificates:
    """The certificates in their folder beside the notebook."""
    return certificates(beside / FOLDER, addresses=addresses, host=host, now=now)


# --- what is shown ---


def qr_text(address: str) -> str:
    """A web address as a QR code of text, for the terminal."""
    import segno

    out = io.StringIO()
    segno.make(address, micro=False).terminal(out=out, compact=True)
    return out.getvalue()


def qr_svg(address: str) -> str:
    """The same as a drawing within a page: black on white in any scheme, no style of its own."""
    import segno

    code = segno.make(address, micro=False)
    drawn: str = code.svg_inline(scale=6, border=4, light="#ffffff", dark="#000000", title=address, svgclass=None, lineclass=None)
    return drawn


def told(lan: Lan) -> list[str]:
    """What the terminal says: where to look, what to compare, what it means."""
    half = len(lan.certificates.fingerprint) // 2
    lines = [
        sentence("lan_pages", {"address": lan.pages}),
        sentence("lan_trust", {"address": lan.trust}),
        *qr_text(lan.trust).splitlines(),
        sentence("lan_fingerprint", {}),
        f"  {lan.certificates.fingerprint[:half].rstrip(':')}",
        f"  {lan.certificates.fingerprint[half:].lstrip(':')}",
        sentence("lan_open_to_all", {}),
    ]
    return [*lines, sentence("lan_fresh", {})] if lan.certificates.fresh else lines


# --- the plain page ---


def trust_app(lan: Lan) -> FastAPI:
    """One page over plain http that walks a phone through trusting this machine, and the certificate to take in. Nothing else."""
    app = FastAPI(title="Loamwright", docs_url=None, redoc_url=None, openapi_url=None)
    app.middleware("http")(guard(lan.hosts))
    app.mount("/static", StaticFiles(directory=static_folder()), name="static")
    headers = {"Content-Security-Policy": _policy(lan), "Cross-Origin-Opener-Policy": "unsafe-none", "Cache-Control": "no-store"}

    @app.get("/")
    def show() -> HTMLResponse:
        return HTMLResponse(_trust_page(lan), headers=headers)

    @app.get("/loamwright.crt")
    def certificate() -> Response:
        as_file = {"Content-Disposition": 'attachment; filename="loamwright.crt"', "Cache-Control": "no-store"}
        return Response(lan.certificates.authority, media_type=CERTIFICATE, headers=as_file)

    @app.exception_handler(HTTPException)
    async def elsewhere(request: Request, fault: Exception) -> Response:
        return HTMLResponse(_trust_page(lan), status_code=404, headers=headers)

    return app


def _policy(lan: Lan) -> str:
    """The plain page may ask the pages whether they are trusted, and nothing else."""
    asks = "https:" if ":" in lan.addresses[0] else lan.pages  # a policy cannot name an address of version 6
    return f"default-src 'self'; connect-src {asks}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"


def _trust_page(lan: Lan) -> str:
    mark = lan.certificates.fingerprint.split(":")
    values: dict[str, Any] = {
        "pages": lan.pages,
        "trust": lan.trust,
        "others": [f"https://{in_address(each)}:{lan.port}" for each in (*lan.addresses[1:], *lan.names)],
        "qr": qr_svg(lan.trust),
        "fingerprint": [" ".join(mark[at : at + 8]) for at in range(0, len(mark), 8)],
        "ends": day(lan.certificates.ends.date()),
    }
    return environment().get_template("lan/trust.html").render(values)


# --- the page that says whether it worked ---


@router.get("/trusted")
def trusted(request: Request) -> Response:
    """Over https: whether this phone trusts the machine, found by what a browser refuses where it does not."""
    if request.url.scheme != "https":
        return plain_page(
            "lan/trusted.html", secure=False, words=tr("This page was not opened over https, so it can tell nothing.")
        )
    return plain_page("lan/trusted.html", secure=True, words=tr("Looking …"))


# --- running ---


async def run(servers: Sequence[tuple["uvicorn.Server", list[socket.socket]]]) -> None:
    """Run several servers in one process until it is asked to stop; when one stops, all do."""
    import asyncio
    import signal

    def stop(*called_with: object) -> None:
        for server, _ in servers:
            server.force_exit = server.force_exit or (bool(called_with) and server.should_exit)  # asked a second time
            server.should_exit = True

    for name in ("SIGINT", "SIGTERM"):
        signal.signal(getattr(signal, name), stop)
    for running, _ in servers:
        running.capture_signals = nullcontext  # type: ignore[method-assign,assignment]
    try:
        await asyncio.gather(*(_until_stopped(server, sockets, stop) for server, sockets in servers))
    finally:
        for _, listening in servers:
            for each in listening:
                each.close()


async def _until_stopped(server: "uvicorn.Server", sockets: list[socket.socket], stop: Any) -> None:
    try:
        await server.serve(sockets=sockets)
    finally:
        stop()
