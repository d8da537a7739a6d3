"""Serve the program to browsers: each window of a browser gets a program of its own, which ends with it.

textual-serve does the work. What is different here: the page is our own and asks no other host for anything; only pages of
this server may talk to it; a window reaches no further than one folder; and a program that does not end is ended.
"""

from __future__ import annotations

import asyncio
import logging
import os
import signal
import socket
import sys
from collections.abc import Sequence
from contextlib import suppress
from html import escape
from ipaddress import ip_address
from pathlib import Path
from string import Template
from typing import Any

import textual_serve
from aiohttp import WSCloseCode, web
from aiohttp.typedefs import Handler
from textual_serve.app_service import AppService
from textual_serve.server import Server

from tui.reach import ENVIRONMENT

LOOPBACK = "127.0.0.1"
SETTLE_S = 0.4  # so that what was typed last becomes an edit, which is kept, before the program is asked to end
GRACE_S = 3.0  # to end after being asked; the program gives itself up a little earlier
LARGEST_CELLS = 500  # columns or rows
TEMPLATE = Path(__file__).parent / "template" / "index.html"
STATIC = Path(__file__).parent / "static"
TERMINAL = Path(textual_serve.__file__).parent / "static"  # the script that is the terminal in the page
WARNING = (
    "ampledger: warning: {host} can be reached from other machines, and there is no login: whoever reaches it can edit "
    "designs, and read and write files in {folder}"
)


def is_loopback(host: str) -> bool:
    """Whether only this machine reaches `host`."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


class Window(AppService):
    """The program behind one window."""

    def __init__(self, command: Sequence[str], folder: Path, **wiring: Any) -> None:
        super().__init__(" ".join(command), **wiring)
        self._arguments = command
        self._folder = folder

    def _build_environment(self, width: int = 80, height: int = 24) -> dict[str, str]:
        return super()._build_environment(width, height) | {ENVIRONMENT: str(self._folder)}

    async def _open_app_process(self, width: int = 80, height: int = 24) -> asyncio.subprocess.Process:
        """Without a shell, and in a process group of its own, which can be ended as a whole."""
        pipe = asyncio.subprocess.PIPE
        self._process = await asyncio.create_subprocess_exec(
            *self._arguments,
            stdin=pipe,
            stdout=pipe,
            stderr=pipe,
            cwd=self._folder,
            env=self._build_environment(width, height),
            start_new_session=True,
        )
        self._stdin = self._process.stdin
        return self._process

    async def set_terminal_size(self, width: int, height: int) -> None:
        await super().set_terminal_size(cells(width), cells(height))

    async def on_data(self, payload: bytes) -> None:
        """Read on when the browser has left: a program that cannot write cannot end."""
        with suppress(ConnectionError):
            await super().on_data(payload)

    async def run(self) -> None:
        """Until the program ends; then the page hears of it, however the program ended."""
        await super().run()
        with suppress(ConnectionError):
            await self.remote_close()

    async def stop(self) -> None:
        """Ask the program to end, wait, and end it where it does not."""
        reading, self._task = self._task, None
        if reading is None or self._process is None:
            return
        await self._download_manager.cancel_app_downloads(app_service_id=self.app_service_id)
        await asyncio.sleep(SETTLE_S)
        await self.send_meta({"type": "quit"})
        self.stdin.close()
        try:
            await asyncio.wait_for(self._process.wait(), GRACE_S)
        except TimeoutError:
            print("ampledger: a window did not end and was ended; its edits are kept for recovery", file=sys.stderr)
        finally:
            self._kill()
        await self._process.wait()
        await reading

    def _kill(self) -> None:
        """End whatever is left of the window's process group."""
        assert self._process is not None
        with suppress(ProcessLookupError, PermissionError):
            if hasattr(os, "killpg"):
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()


def cells(number: int) -> int:
    """A width or height that a terminal may have."""
    return max(1, min(LARGEST_CELLS, int(number)))


class WindowServer(Server):
    """The server. `listening`: its socket, bound to `host`; `folder`: what its windows reach; `file`: the design they open."""

    def __init__(self, listening: socket.socket, host: str, folder: Path, file: Path | None = None) -> None:
        super().__init__("ampledger", host, listening.getsockname()[1], title="Ampledger")
        machine = socket.gethostname().lower()
        self._names = {host.lower(), "localhost", machine, f"{machine}.local"}
        self._listening = listening
        self._folder = folder
        # -P: a file named like a module of ours, in the folder, must not be taken for it
        self._arguments = [sys.executable, "-P", "-m", "tui.serve.window", *([str(file)] if file else [])]
        self._windows: dict[Window, web.WebSocketResponse] = {}

    def serve(self, debug: bool = False) -> None:
        """Serve until a signal comes."""
        # A page that is closed before its program has begun is no failure; of one, what the program says is printed.
        logging.getLogger("textual-serve").setLevel(logging.CRITICAL)
        web.run_app(self._make_app(), sock=self._listening, print=None, shutdown_timeout=GRACE_S)

    async def _make_app(self) -> web.Application:
        app = web.Application(middlewares=[self._only_ours])
        app.add_routes(
            [
                web.get("/", self.handle_index),
                web.get("/ws", self.handle_websocket),
                web.get("/download/{key}", self.handle_download),
                web.static("/static", STATIC),
                web.static("/terminal", TERMINAL),
            ]
        )
        app.on_shutdown.append(self.on_shutdown)
        return app

    @web.middleware
    async def _only_ours(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Refuse pages of other hosts: a page from anywhere, open in the same browser, could else drive the program."""
        origin = request.headers.get("Origin")
        if not self._is_ours(request.url.host or "") or origin not in (None, f"{request.scheme}://{request.host}"):
            raise web.HTTPForbidden(text="This address is not the one that Ampledger serves.")
        return await handler(request)

    def _is_ours(self, name: str) -> bool:
        """Whether a browser may call this server by `name`. A name that we do not know may be one that somebody pointed here."""
        try:
            ip_address(name)
        except ValueError:
            return name in self._names
        return True

    async def handle_index(self, request: web.Request) -> web.Response:
        """The page."""
        page = Template(TEMPLATE.read_text("utf-8")).substitute(websocket=escape(f"ws://{request.host}/ws"))
        policy = (
            "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
            f"connect-src 'self' ws://{request.host}; frame-ancestors 'none'"
        )
        headers = {"Content-Security-Policy": policy}
        return web.Response(text=page, content_type="text/html", headers=headers)

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """One window: its program lives as long as this connection."""
        websocket = web.WebSocketResponse(heartbeat=15)
        await websocket.prepare(request)
        window = Window(
            self._arguments,
            self._folder,
            write_bytes=websocket.send_bytes,
            write_str=websocket.send_str,
            close=websocket.close,
            download_manager=self.download_manager,
        )
        self._windows[window] = websocket
        try:
            await window.start(_size(request, "width", 80), _size(request, "height", 24))
            await self._process_messages(websocket, window)
        except (ValueError, TypeError, LookupError, AttributeError, AssertionError):
            pass  # not a message that our page sends
        finally:
            await window.stop()
            del self._windows[window]
            await websocket.close()
        return websocket

    async def on_shutdown(self, app: web.Application) -> None:
        """End every window with the server."""
        await asyncio.gather(*(websocket.close(code=WSCloseCode.GOING_AWAY) for websocket in self._windows.values()))
        await asyncio.gather(*(window.stop() for window in list(self._windows)))


def _size(request: web.Request, name: str, otherwise: int) -> int:
    try:
        return cells(int(request.query.get(name, "")))
    except ValueError:
        return otherwise


def serve(file: Path | None, host: str = LOOPBACK, port: int = 0) -> None:
    """Serve the folder that we stand in until a signal comes. `port` 0: one that is free. Raises OSError, its text a line.

    `file` is the design that each window opens, None the demonstration.
    """
    folder = Path.cwd()
    listening = _listen(host, port)
    if not is_loopback(host):
        print(WARNING.format(host=host, folder=folder), file=sys.stderr)
    print(f"Ampledger in a browser: http://{_shown(host)}:{listening.getsockname()[1]}/ (ctrl+C ends it)", flush=True)
    WindowServer(listening, host, folder, file).serve()


def _shown(host: str) -> str:
    """The host as it stands in an address; this machine's name where it listens on all of its own."""
    if host in ("", "0.0.0.0", "::"):
        return socket.gethostname()
    return f"[{host}]" if ":" in host else host


def _listen(host: str, port: int) -> socket.socket:
    try:
        family, *_, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)[0]
        return socket.create_server(address[:2], family=family)
    except OSError as trouble:
        raise OSError(f"cannot serve on {host} port {port}: {trouble.strerror or trouble}") from trouble
