"""`loamwright serve`: the pages on a loopback address."""

import gc
import socket
from pathlib import Path

import click

from loamwright.cli.shared import notebook_option, open_desk
from loamwright.errors import InputError


def command(name: str) -> click.Command:
    """The command."""
    return serve


@click.command("serve")
@notebook_option
@click.option("--port", type=click.IntRange(0, 65535), default=8321, show_default=True, help="Port; 0 takes any free one.")
@click.option("--demo", is_flag=True, help="Load the demo project first if the notebook has none.")
def serve(notebook: Path, port: int, demo: bool) -> None:
    """Open the pages on this machine and print their address."""
    gc.disable()  # what is loaded here stays for good: looking through it for garbage would only delay the start
    try:
        import uvicorn

        from loamwright.web.app import create_app
    finally:
        gc.enable()
    gc.freeze()
    desk = open_desk(notebook)
    if demo and not desk.projects():
        from loamwright.notebook.entry import local_now
        from loamwright.project.demo import load_demo

        load_demo(desk, local_now())
    with socket.socket() as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind(("127.0.0.1", port))
        except OSError as fault:
            raise InputError("port_not_free", port=port, reason=fault.strerror or str(fault)) from fault
        listening.listen(128)
        click.echo(f"Loamwright is open at http://127.0.0.1:{listening.getsockname()[1]}  (stop with Ctrl+C)")
        config = uvicorn.Config(create_app(desk), log_level="warning", access_log=False)
        uvicorn.Server(config).run(sockets=[listening])
