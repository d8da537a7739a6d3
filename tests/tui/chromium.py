"""A Chromium without a screen, driven over its DevTools protocol. Only hosts of this machine can be reached from it."""

from __future__ import annotations

import asyncio
import base64
import itertools
import json
import os
import shutil
import subprocess
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any

import aiohttp

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def find() -> str | None:
    """The program, if this machine has one."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Page:
    """The page of a running browser.

    `requests`: every address that it asked for; `received`: what its websockets heard; `size`: the columns and rows that it
    last told its server.
    """

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.received = b""
        self.size = (0, 0)
        self._socket = socket
        self._numbers = itertools.count(1)
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}

    async def listen(self) -> None:
        """Take what the browser tells, until it is gone."""
        async for message in self._socket:
            told = json.loads(message.data)
            if "id" in told:
                self._answers.pop(told["id"]).set_result(told)
                continue
            method, params = told["method"], told["params"]
            if method == "Network.requestWillBeSent":
                self.requests.append(params["request"]["url"])
            elif method == "Network.webSocketCreated":
                self.requests.append(params["url"])
            elif method == "Network.webSocketFrameReceived":
                payload = params["response"]["payloadData"]
                binary = params["response"]["opcode"] == 2
                self.received += base64.b64decode(payload) if binary else payload.encode()
            elif method == "Network.webSocketFrameSent":
                with suppress(ValueError, KeyError, TypeError):
                    kind, data = json.loads(params["response"]["payloadData"])
                    if kind == "resize":
                        self.size = (data["width"], data["height"])
            elif method == "Log.entryAdded":
                self.complaints.append(params["entry"]["text"])
            elif method == "Runtime.exceptionThrown":
                self.complaints.append(params["exceptionDetails"]["text"])

    async def tell(self, method: str, **params: Any) -> dict[str, Any]:
        """One command of the protocol; its result."""
        number = next(self._numbers)
        answer = self._answers[number] = asyncio.get_running_loop().create_future()
        await self._socket.send_json({"id": number, "method": method, "params": params})
        told = await asyncio.wait_for(answer, 20)
        assert "error" not in told, told["error"]
        result: dict[str, Any] = told["result"]
        return result

    async def run(self, script: str) -> Any:
        """What a line of JavaScript gives in the page."""
        return (await self.tell("Runtime.evaluate", expression=script))["result"].get("value")

    async def click(self, x: float, y: float) -> None:
        """A click with the first button, at pixels of the page."""
        for kind in ("mousePressed", "mouseReleased"):
            await self.tell("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    async def type(self, text: str) -> None:
        """Press the keys of a text; a newline is Enter."""
        for character in text:
            enter = character == "\n"
            key = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13} if enter else {"key": character}
            await self.tell("Input.dispatchKeyEvent", type="keyDown", text="\r" if enter else character, **key)
            await self.tell("Input.dispatchKeyEvent", type="keyUp", **key)

    async def resize(self, width: int, height: int) -> None:
        """Another size of the window, in pixels."""
        await self.tell(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False
        )

    async def until(self, true: Callable[[], bool], what: str, patience_s: float = 15) -> None:
        """Wait for something to come true. Raises AssertionError with `what` was waited for."""
        for _ in range(int(patience_s / 0.05)):
            if true():
                return
            await asyncio.sleep(0.05)
        raise AssertionError(f"waited {patience_s:g} s in vain for {what}; the browser says {self.complaints}")

    async def picture(self, path: Path) -> None:
        """A PNG of what is in sight."""
        path.write_bytes(base64.b64decode((await self.tell("Page.captureScreenshot"))["data"]))


@asynccontextmanager
async def browsing(program: str, profile: Path, size: tuple[int, int] = (1000, 700)) -> AsyncIterator[Page]:
    """An empty page in a browser of its own."""
    arguments = [
        "--headless=new",
        "--disable-gpu",
        "--no-first-run",
        "--no-proxy-server",
        "--disable-dev-shm-usage",
        "--disable-background-networking",
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
        "--remote-debugging-port=0",
        f"--window-size={size[0]},{size[1]}",
        f"--user-data-dir={profile}",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:  # its sandbox refuses to run as root
        arguments.append("--no-sandbox")
    browser = subprocess.Popen(
        [program, *arguments, "about:blank"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        port = await _port(profile / "DevToolsActivePort")
        async with aiohttp.ClientSession() as session, _page(session, port) as page:
            yield page
    finally:
        browser.kill()
        browser.wait()


async def _port(file: Path) -> int:
    for _ in range(300):
        with suppress(OSError, ValueError, IndexError):
            return int(file.read_text().splitlines()[0])
        await asyncio.sleep(0.05)
    raise AssertionError("the browser did not start in 15 s")


@asynccontextmanager
async def _page(session: aiohttp.ClientSession, port: int) -> AsyncIterator[Page]:
    async with session.get(f"http://127.0.0.1:{port}/json/list") as answer:
        address = next(one for one in await answer.json() if one["type"] == "page")["webSocketDebuggerUrl"]
    async with session.ws_connect(address, max_msg_size=0) as socket:
        page = Page(socket)
        listening = asyncio.create_task(page.listen())
        for domain in ("Network", "Page", "Runtime", "Log"):
            await page.tell(f"{domain}.enable")
        yield page
        listening.cancel()
        with suppress(asyncio.CancelledError):
            await listening
