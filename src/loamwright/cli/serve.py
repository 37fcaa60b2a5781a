"""`loamwright serve`: the pages on a loopback address, and on the local network where that is asked for."""

import gc
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loamwright.cli.shared import notebook_option, open_desk

if TYPE_CHECKING:
    from loamwright.project.desk import Desk


def command(name: str) -> click.Command:
    """The command."""
    return serve


PORT = click.IntRange(0, 65535)


@click.command("serve")
@notebook_option
@click.option("--port", type=PORT, default=8321, show_default=True, help="Port on this machine; 0 takes any free one.")
@click.option("--demo", is_flag=True, help="Load the demo project first if the notebook has none.")
@click.option("--lan", "on_lan", is_flag=True, help="Open the pages to phones on the local network too, over https.")
@click.option("--address", multiple=True, metavar="IP", help="With --lan: this address of this machine; as often as you want.")
@click.option("--lan-port", type=PORT, default=8322, show_default=True, help="With --lan: port of the pages; 0 takes any.")
@click.option("--trust-port", type=PORT, default=8323, show_default=True, help="With --lan: port of the page about trust.")
@click.option("--public-name", multiple=True, metavar="NAME", help="Name under which a reverse proxy on this machine serves it.")
def serve(
    notebook: Path,
    port: int,
    demo: bool,
    on_lan: bool,
    address: tuple[str, ...],
    lan_port: int,
    trust_port: int,
    public_name: tuple[str, ...],
) -> None:
    """Open the pages on this machine and print their address."""
    if address and not on_lan:
        raise click.UsageError("--address goes with --lan.")
    gc.disable()  # what is loaded here stays for good: looking through it for garbage would only delay the start
    try:
        import asyncio

        import uvicorn

        from loamwright.web.app import LOOPBACK, create_app, lan
    finally:
        gc.enable()
    gc.freeze()
    desk = open_desk(notebook)
    if demo and not desk.projects():
        _load_demo(desk)
    own = lan.listen("127.0.0.1", port)
    try:
        place = _lan_place(notebook, address, lan_port, trust_port) if on_lan else None
    except BaseException:
        own.close()
        raise
    hosts = LOOPBACK | {name.lower() for name in public_name} | (place[0].hosts if place else frozenset())
    app = create_app(desk, hosts=hosts)
    click.echo(f"Loamwright is open at http://127.0.0.1:{own.getsockname()[1]}  (stop with Ctrl+C)")
    servers = [(uvicorn.Server(_config(app)), [own])]
    if place is not None:
        found, pages, trust = place
        https = _config(app, found.certificates.chain, found.certificates.key)
        servers += [(uvicorn.Server(https), pages), (uvicorn.Server(_config(lan.trust_app(found))), trust)]
        click.echo("\n".join(lan.told(found)))
    asyncio.run(lan.run(servers))


def _load_demo(desk: "Desk") -> None:
    from loamwright.notebook.entry import local_now
    from loamwright.project.demo import load_demo

    load_demo(desk, local_now())


def _config(app: Any, chain: Path | None = None, key: Path | None = None) -> Any:
    import uvicorn

    return uvicorn.Config(app, log_level="warning", access_log=False, ssl_certfile=chain, ssl_keyfile=key)


def _lan_place(notebook: Path, wanted: tuple[str, ...], port: int, trust_port: int) -> Any:
    """Certificates and listening sockets for the local network: where phones find it, sockets of the pages, of the plain page."""
    import socket

    from loamwright.notebook.entry import local_now
    from loamwright.web.app import lan

    addresses = lan.chosen_addresses(wanted)
    made = lan.made(notebook.parent, addresses=addresses, host=socket.gethostname(), now=local_now())
    pages, trust = lan.listen_all(addresses, port), lan.listen_all(addresses, trust_port)
    ports = (pages[0].getsockname()[1], trust[0].getsockname()[1])
    return lan.Lan(addresses, lan.names_here(), *ports, made), pages, trust
