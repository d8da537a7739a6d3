"""The program in a browser: what it reaches, who may talk to it, and that it ends with its browser."""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from socket import gethostname
from typing import Any

import aiohttp
import pytest
from textual.widgets import Input

from model.record import files, journal
from tests.tui import chromium
from tests.tui.conftest import opened, press, screen_text
from tui import reach
from tui.file_dialogs import paths
from tui.screens.picker import Picker
from tui.serve import server

PROCESSES = Path("/proc")
needs_processes = pytest.mark.skipif(not (PROCESSES / "self/environ").exists(), reason="looks for processes in /proc")

# 60 W for 2 h from 12 V: 120 Wh, 10.0 Ah; for 4.5 h: 270 Wh, 22.5 Ah (charge = power x time / voltage)
ONE_LAMP = """format = 1
name = "One lamp"
month = "December"

[system]
voltage = "12 V"
wiring_efficiency = "100 %"
always_on = "0 W"

[[load]]
name = "Lamp"
power = "60 W"
hours = "2 h"
"""


@dataclass
class Served:
    process: subprocess.Popen[str]
    address: str
    folder: Path
    complaints: Path
    seen: set[int] = field(default_factory=set)

    def socket(self, width: int = 100, height: int = 30) -> str:
        return f"{self.address}ws?width={width}&height={height}"

    def windows(self) -> set[int]:
        """The processes that came of the server and are still there, whoever their parent is by now."""
        ours = f"{journal.ENVIRONMENT}={self.folder / 'state'}".encode()
        for process in PROCESSES.glob("[0-9]*"):
            with suppress(OSError):
                if ours in (process / "environ").read_bytes().split(b"\0"):
                    self.seen.add(int(process.name))
        # One that is about to go has no environment any more, and still holds its files.
        self.seen = {one for one in self.seen - {self.process.pid} if _is_there(one)}
        return self.seen

    def all_gone(self, patience_s: float = 5) -> bool:
        """Whether no window is left, at the latest after `patience_s`."""
        end = time.monotonic() + patience_s
        while self.windows():
            if time.monotonic() > end:
                return False
            time.sleep(0.05)
        return True


def _is_there(process: int) -> bool:
    """Whether a process is more than an exit status that nobody has asked for."""
    try:
        return (PROCESSES / str(process) / "stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False


def recovered(file: Path) -> journal.Recovery | None:
    """What is offered for recovery. Threads of a dying process may hold its journal a little longer than it can be seen."""
    for _ in range(100):
        if kept := journal.pending(file):
            return kept
        time.sleep(0.05)
    return None


@contextmanager
def serving(folder: Path, *arguments: str) -> Iterator[Served]:
    """The server, started in a folder as a person starts it."""
    complaints = folder / "complaints.txt"
    with complaints.open("w") as errors:
        process = subprocess.Popen(
            [sys.executable, "-P", "-m", "tui", "serve", *arguments],
            cwd=folder,
            env=os.environ | {journal.ENVIRONMENT: str(folder / "state")},
            stdout=subprocess.PIPE,
            stderr=errors,
            text=True,
        )
    assert process.stdout is not None
    try:
        said = process.stdout.readline()
        found = re.search(r"http://\S+", said)
        assert found, said + complaints.read_text()
        yield Served(process, found[0], folder, complaints)
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        process.stdout.close()


async def until(socket: aiohttp.ClientWebSocketResponse, text: str, patience_s: float = 15) -> None:
    """Read until the program has painted `text`."""
    heard = ""
    async with asyncio.timeout(patience_s):
        while text not in heard:
            message = await socket.receive()
            assert message.type == aiohttp.WSMsgType.BINARY, f"{text!r} never came: {message}"
            heard += plain(message.data)


async def go_to_hours(socket: aiohttp.ClientWebSocketResponse) -> None:
    """Wait for the plan of the one lamp and put the cursor on its hours."""
    await until(socket, "10.0")
    await socket.send_json(["focus"])
    for hint in ("", "of one while it runs", "hours a day"):  # below quantity, power, hours
        await socket.send_json(["stdin", "\x1b[C"])
        await until(socket, hint)


def plain(painted: bytes) -> str:
    """What was painted, without the sequences that move and colour."""
    return re.sub(r"\x1b\[[0-9;?<]*[A-Za-z$]", "", painted.decode("utf-8", "replace"))


# -- who may talk to it, and what the page asks for ------------------------------------------------------------------


async def test_the_page_asks_no_other_host(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", served.address)
        assert not served.complaints.read_text()
        async with aiohttp.ClientSession() as session:
            async with session.get(served.address) as answer:
                page = await answer.text()
                policy = answer.headers["Content-Security-Policy"]
            links = re.findall(r'(?:src|href)="([^"]+)"', page)
            assert len(links) == 5
            for link in links:
                if link != "data:,":
                    assert re.match("/[a-z]", link), "only what begins at this server's root"
                    async with session.get(served.address + link.lstrip("/")) as answer:
                        assert answer.status == 200
                        text = (
                            re.sub(r"/\*.*?\*/", "", await answer.text(), flags=re.DOTALL)
                            if ".css" in link
                            else await answer.text()
                        )
                        assert not re.search(r"https?://|@import|url\((?!data:)", text), link
        hosts = re.findall(r"(?:https?|ws):?//[^/\s;\"]+", page + policy)
        assert set(hosts) == {served.address.replace("http", "ws").rstrip("/")}
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy


async def test_pages_of_other_hosts_are_refused(tmp_path: Path) -> None:
    # Cross-site WebSocket hijacking (CWE-1385) and DNS rebinding: the one shows in Origin, the other in Host.
    with serving(tmp_path) as served:
        port = served.address.split(":")[2].rstrip("/")
        async with aiohttp.ClientSession() as session:
            for headers, status in (
                ({"Origin": "http://other.example"}, 403),
                ({"Origin": "null"}, 403),
                ({"Origin": f"http://127.0.0.1:{int(port) - 1}"}, 403),
                ({"Host": f"other.example:{port}"}, 403),
                ({"Host": f"other.example:{port}", "Origin": f"http://other.example:{port}"}, 403),
                ({"Host": f"localhost:{port}", "Origin": f"http://localhost:{port}"}, 200),
                ({"Origin": served.address.rstrip("/")}, 200),
            ):
                async with session.get(served.address, headers=headers) as answer:
                    assert answer.status == status, headers
            with pytest.raises(aiohttp.WSServerHandshakeError):
                await session.ws_connect(served.socket(), origin="http://other.example")
        assert not served.windows()


def test_another_host_is_served_with_a_warning(tmp_path: Path) -> None:
    with serving(tmp_path, "--host", "0.0.0.0") as served:
        warning = served.complaints.read_text()
        assert served.address.startswith(f"http://{gethostname()}:"), "an address that can be typed elsewhere"
        assert "warning" in warning
        assert "no login" in warning
        assert str(tmp_path) in warning
    assert [server.is_loopback(host) for host in ("127.0.0.1", "::1", "localhost", "127.8.8.8")] == [True] * 4
    assert [server.is_loopback(host) for host in ("0.0.0.0", "::", "192.168.1.7", "van.example")] == [False] * 4


def test_what_cannot_be_served_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "out.toml").write_text(ONE_LAMP)
    (tmp_path / "in/link.toml").symlink_to("../out.toml")
    (tmp_path / "in/bad.toml").write_text("format = ")
    with serving(tmp_path) as served:
        taken = served.address.split(":")[2].rstrip("/")
        for arguments, words in (
            (["../out.toml"], "outside this folder"),
            (["link.toml"], "outside this folder"),
            (["absent.toml"], "no such file"),
            (["bad.toml"], "bad.toml"),
            (["--port", taken], "in use"),
            (["--port", "70000"], "no port"),
            (["--host", "no-such-host.invalid"], "cannot serve"),
        ):
            told = subprocess.run(
                [sys.executable, "-P", "-m", "tui", "serve", *arguments],
                cwd=tmp_path / "in",
                capture_output=True,
                text=True,
                timeout=20,
            )
            assert (told.returncode, told.stdout, told.stderr.count("\n")) == (2, "", 1), told
            assert words in told.stderr


def test_the_server_loads_no_textual() -> None:
    told = (
        "import sys, tui.serve.server; print([one for one in sys.modules if one.split('.')[0] in ('textual', 'numpy')])"
    )
    assert subprocess.check_output([sys.executable, "-P", "-c", told], text=True).strip() == "[]"


# -- how far a window reaches ----------------------------------------------------------------------------------------


@pytest.fixture
def fence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that the program must not leave, with a design in it and one beside it, and links that lead out."""
    folder = tmp_path / "van"
    (folder / "deep").mkdir(parents=True)
    (folder / "mine.toml").write_text(ONE_LAMP)
    (tmp_path / "other.toml").write_text(ONE_LAMP)
    (tmp_path / "van-of-a-friend").mkdir()
    (folder / "leads-out.toml").symlink_to(tmp_path / "other.toml")
    (folder / "dangling.toml").symlink_to(tmp_path / "not-yet.toml")
    (folder / "way-out").symlink_to(tmp_path)
    (folder / "leads-in.toml").symlink_to(folder / "mine.toml")
    monkeypatch.setenv(reach.ENVIRONMENT, str(folder))
    monkeypatch.chdir(folder)
    return folder


OUTSIDE = (
    "..",
    "../other.toml",
    "../van-of-a-friend/x.toml",  # begins like the folder's name
    "deep/../../other.toml",
    "/etc/passwd",
    "~/x.toml",
    "leads-out.toml",
    "dangling.toml",
    "way-out/other.toml",
    "way-out/new.toml",
    "way-out/van/../other.toml",
)
INSIDE = ("mine.toml", "new.toml", "deep/new.toml", "deep/../mine.toml", "way-out/van/mine.toml", "leads-in.toml", ".")


def test_only_the_folder_is_reached(fence: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert [text for text in OUTSIDE if reach.is_within(Path(text))] == []
    assert [text for text in INSIDE if not reach.is_within(Path(text))] == []
    assert [one.label for one in paths("", ".toml")] == ["leads-in.toml", "mine.toml"]
    for folder in ("../", "way-out/", "/"):
        with pytest.raises(reach.Outside):
            paths(folder, ".toml")
    monkeypatch.delenv(reach.ENVIRONMENT)
    assert all(reach.is_within(Path(text)) for text in OUTSIDE), "a terminal reaches everything"


def test_every_dialog_that_takes_a_path_asks_how_far_it_reaches() -> None:
    code = Path(reach.__file__).parent
    takes = [one for one in code.rglob("*.py") if "expanduser()" in one.read_text() and one.name != "reach.py"]
    assert [one.name for one in takes if "within(" not in one.read_text()] == []
    assert {"file_dialogs.py", "comparing.py"} <= {one.name for one in takes}


async def test_dialogs_refuse_in_words(fence: Path) -> None:
    before = {one: one.read_bytes() for one in fence.parent.glob("*.toml")}
    async with opened(Path("mine.toml")) as pilot:
        for key, typed in (("o", "../other.toml"), ("A", "way-out/new.toml"), ("A", "dangling.toml")):
            await pilot.press(key)
            await pilot.pause(0.1)
            pilot.app.screen.query_one(Input).value = typed
            await pilot.press("enter")
            await pilot.pause(0.1)
            assert isinstance(pilot.app.screen, Picker), "the question stays"
            assert "lies outside" in screen_text(pilot.app)  # type: ignore[arg-type]
            await pilot.press("escape")
    assert {one: one.read_bytes() for one in fence.parent.glob("*.toml")} == before


async def test_a_weather_file_outside_is_refused(fence: Path) -> None:
    async with opened(Path("mine.toml")) as pilot:
        await press(pilot, "s")
        await pilot.press("T")
        await pilot.pause(0.1)
        pilot.app.screen.query_one(Input).value = "../other.csv"
        await pilot.press("enter")
        await pilot.pause(0.1)
        assert "lies outside" in screen_text(pilot.app)  # type: ignore[arg-type]


# -- that it ends ----------------------------------------------------------------------------------------------------


@needs_processes
async def test_twenty_browsers_leave_while_resizing(tmp_path: Path) -> None:
    """However they leave, nothing stays behind them."""
    (tmp_path / "one.toml").write_text(ONE_LAMP)
    with serving(tmp_path, "one.toml") as served:
        async with aiohttp.ClientSession() as session:
            for number in range(20):
                socket = await session.ws_connect(served.socket(111, 29))
                await asyncio.sleep(0.02 * (number % 10))
                await socket.send_json(["resize", {"width": 111, "height": 36}])
                await asyncio.sleep(0.03 * (number % 3))
                if number % 2:
                    await socket.close()
                else:  # a machine that is switched off says no goodbye
                    assert socket._response.connection is not None
                    assert socket._response.connection.transport is not None
                    socket._response.connection.transport.abort()
                if number == 10:
                    assert served.windows(), "this test finds windows where there are some"
        assert served.all_gone()
        assert served.process.poll() is None


def test_two_sizes_and_the_end_at_once() -> None:
    """What a page sends that is opened and closed at once. Textual 8.2's own screen lays out the two sizes in turn for ever.

    The pipe stays open, so that the program has to end by itself.
    """

    def packet(**told: object) -> bytes:
        content = json.dumps(told).encode()
        return b"M" + len(content).to_bytes(4, "big") + content

    program = subprocess.Popen(
        [sys.executable, "-P", "-m", "tui.serve.window"],
        env=os.environ | {"TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver", "COLUMNS": "111", "ROWS": "29"},
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        bufsize=0,
    )
    assert program.stdin is not None
    try:
        program.stdin.write(packet(type="resize", width=111, height=36) + packet(type="quit"))
        assert program.wait(20) == 0
    finally:
        program.kill()
        program.wait()
        program.stdin.close()


@needs_processes
async def test_the_program_ends_with_a_killed_server_and_edits_are_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "one.toml"
    file.write_text(ONE_LAMP)
    with serving(tmp_path, "one.toml") as served:
        async with aiohttp.ClientSession() as session:
            socket = await session.ws_connect(served.socket())
            await go_to_hours(socket)
            await socket.send_json(["stdin", "4.5\r"])
            await until(socket, "undoes")
            served.process.send_signal(signal.SIGKILL)
            served.process.wait()
            assert served.windows()
            assert await asyncio.to_thread(served.all_gone)
    monkeypatch.setenv(journal.ENVIRONMENT, str(tmp_path / "state"))
    kept = recovered(file)
    assert kept is not None
    assert kept.design.loads[0].hours_per_day == 4.5
    assert files.open_design(file).design.loads[0].hours_per_day == 2, "nobody saved"


@needs_processes
async def test_edits_are_kept_when_the_browser_leaves_while_resizing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "one.toml"
    file.write_text(ONE_LAMP)
    with serving(tmp_path, "one.toml") as served:
        async with aiohttp.ClientSession() as session:
            socket = await session.ws_connect(served.socket())
            await go_to_hours(socket)
            await socket.send_json(["stdin", "4.5\r"])
            await until(socket, "undoes")
            await socket.send_json(["resize", {"width": 60, "height": 20}])
            await socket.close()
        assert await asyncio.to_thread(served.all_gone)
    monkeypatch.setenv(journal.ENVIRONMENT, str(tmp_path / "state"))
    kept = recovered(file)
    assert kept is not None
    assert kept.design.loads[0].hours_per_day == 4.5


@needs_processes
async def test_windows_end_with_the_server(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        async with aiohttp.ClientSession() as session:
            sockets = [await session.ws_connect(served.socket()) for _ in range(2)]
            await asyncio.gather(*(until(socket, "Compressor") for socket in sockets))
            served.process.send_signal(signal.SIGINT)
            assert await asyncio.to_thread(served.process.wait, 10) == 0
            assert not served.windows()


STUCK = "import signal\nfor one in (signal.SIGTERM, signal.SIGINT): signal.signal(one, signal.SIG_IGN)\n"


def test_a_stuck_program_ends_when_its_pipe_is_closed() -> None:
    told = (
        f"from tui.serve.leaving import end_when_alone\nend_when_alone(0.2)\n{STUCK}print(flush=True)\nwhile True: pass"
    )
    process = subprocess.Popen(
        [sys.executable, "-P", "-c", told], stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0
    )
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        process.stdout.read(1)
        process.stdin.write(b"typed, and never read")
        process.terminate()
        time.sleep(0.7)
        assert process.poll() is None, "it stays while it has a server"
        process.stdin.close()
        assert process.wait(5) == 0
    finally:
        process.kill()
        process.stdout.close()


async def test_the_server_ends_a_program_that_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(server, "GRACE_S", 0.3)
    window = _window(f"{STUCK}print('__GANGLION__', flush=True)\nwhile True: pass", tmp_path)
    await window.start(80, 24)
    await asyncio.sleep(0.3)
    await window.stop()
    assert window._process is not None
    assert window._process.returncode == -signal.SIGKILL
    assert "did not end" in capsys.readouterr().err


async def test_what_was_typed_last_has_time_to_become_an_edit(tmp_path: Path) -> None:
    script = (
        "import sys, time\nprint('__GANGLION__', flush=True)\nhear = sys.stdin.buffer.read\nhear(5 + 1)\n"
        "typed = time.monotonic()\nhear(1)\nopen('time.txt', 'w').write(str(time.monotonic() - typed))"
    )
    window = _window(script, tmp_path)
    await window.start(80, 24)
    await window.send_bytes(b"4")
    asked = time.monotonic()
    await window.stop()
    assert float((tmp_path / "time.txt").read_text()) > server.SETTLE_S / 2, "less by the time that Python starts"
    assert time.monotonic() - asked < server.SETTLE_S + server.GRACE_S


def _window(script: str, folder: Path) -> server.Window:
    """A window with a program of our own behind it and no page before it."""
    from textual_serve.download_manager import DownloadManager

    async def nothing(*_: Any) -> None:
        pass

    wiring = {"write_bytes": nothing, "write_str": nothing, "close": nothing, "download_manager": DownloadManager()}
    return server.Window([sys.executable, "-c", script], folder, **wiring)


@needs_processes
async def test_a_message_that_means_nothing_ends_its_window_only(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        async with aiohttp.ClientSession() as session:
            bystander = await session.ws_connect(served.socket())
            for message in ("nonsense", "[]", '["resize", {"width": "wide"}]', '["stdin", 5]'):
                socket = await session.ws_connect(served.socket(10**9, -5))
                await socket.send_str(message)
                await socket.close()
            await until(bystander, "Compressor")
            await bystander.close()
        assert await asyncio.to_thread(served.all_gone)
        assert "Traceback" not in served.complaints.read_text()


# -- in a real browser -----------------------------------------------------------------------------------------------


async def test_a_load_is_typed_in_a_browser_and_the_figure_follows(tmp_path: Path) -> None:
    program = chromium.find()
    if program is None:
        pytest.skip("NOT TESTED: the program in a real browser; there is no Chromium here (apt-get install chromium)")
    (tmp_path / "one.toml").write_text(ONE_LAMP)
    with serving(tmp_path, "one.toml") as served:
        async with chromium.browsing(program, tmp_path / "profile") as page:
            await page.tell("Page.navigate", url=served.address)
            await page.until(lambda: "10.0" in plain(page.received), "the plan")
            columns, rows = page.size
            box = json.loads(
                await page.run("JSON.stringify(document.querySelector('.xterm-screen').getBoundingClientRect())")
            )
            screen = plain(page.received)
            assert "22.5" not in screen
            # the first load is in the fourth row; its hours end below the last letter of their heading
            heading = next(line for line in screen.splitlines() if " Hours" in line)
            column = heading.index("Hours") + 4
            x, y = box["x"] + (column + 0.5) * box["width"] / columns, box["y"] + 3.5 * box["height"] / rows
            await page.click(x, y)
            # a second click would edit the text that is there, so the keys have to follow the cursor and nothing else
            await page.until(lambda: "hours a day, such as 3.5 h" in plain(page.received), "the cursor in the hours")
            await page.type("4.5\n")
            await page.until(lambda: "22.5" in plain(page.received), "the figure")
            await page.picture(tmp_path / "typed.png")
            assert {re.sub(r"^\w+://([^/]+)/.*", r"\1", one) for one in page.requests} == {served.address[7:-1]}
            assert not [one for one in page.complaints if "WebGL" not in one]
            await page.resize(560, 440)
            await page.until(lambda: page.size[0] < 70, "the smaller size")
            seen = len(page.received)
            await page.type("?")
            await page.until(lambda: len(page.received) > seen + 500, "the help")
        if (PROCESSES / "self/environ").exists():
            assert await asyncio.to_thread(served.all_gone)
