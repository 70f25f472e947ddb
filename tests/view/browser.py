"""A headless Chromium for the tests, driven over its own DevTools protocol through two pipes.

The protocol is Chromium's open one (https://chromedevtools.github.io/devtools-protocol/, from
memory): JSON messages ended by a NUL, requests into descriptor 3, answers out of descriptor 4.
"""

from __future__ import annotations

import base64
import itertools
import json
import os
import select
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

PATIENCE_S = 40.0
PROBES = Path(__file__).with_name("probes.js")
KEYS = {"Enter": 13, "Escape": 27, "Tab": 9, "ArrowDown": 40, "ArrowUp": 38, "ArrowLeft": 37,
        "ArrowRight": 39, "+": 187, "-": 189, "0": 48, " ": 32,
        "PageDown": 34, "PageUp": 33, "End": 35, "Home": 36, "Delete": 46, "Backspace": 8, ".": 190,
        "F2": 113, "F8": 119}  # fmt: skip
CHARACTERS = {"Enter": "\r", "+": "+", "-": "-", "0": "0", " ": " "}
LEFT = "Inspected target navigated"
ALT, CTRL, SHIFT = 1, 2, 8


def chromium() -> str | None:
    """Debian's name for it, or the usual others; None where there is none."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((found for name in names if (found := shutil.which(name))), None)


class BrowserError(AssertionError):
    pass


class Page:
    """One page of one browser. What it logs, fails at and asks the network for is kept."""

    def __init__(self, into: int, out: int) -> None:
        self._into, self._out = into, out
        self._numbers = itertools.count(1)
        self._rest = b""
        self._session = ""
        self.requests: list[str] = []
        self.faults: list[str] = []
        self.asked: list[str] = []  # what the browser itself asked: whether to leave a page
        self.leaves = True  # what it is answered

    def attach(self) -> None:
        target = self._call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self._call("Target.attachToTarget", targetId=target, flatten=True)[
            "sessionId"
        ]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self._call(f"{domain}.enable")
        self._call("Page.addScriptToEvaluateOnNewDocument", source=PROBES.read_text())

    def open(self, url: str) -> None:
        self._call("Page.navigate", url=url)

    def size(self, width: int, height: int) -> None:
        self._call(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=height, deviceScaleFactor=1, mobile=False,
        )  # fmt: skip

    def dark(self, on: bool, **features: str) -> None:
        """Light or dark, and other features of CSS's media queries."""
        told = {"prefers-color-scheme": "dark" if on else "light"}
        told |= {name.replace("_", "-"): value for name, value in features.items()}
        pairs = [{"name": name, "value": value} for name, value in told.items()]
        self._call("Emulation.setEmulatedMedia", features=pairs)

    def paper(self, on: bool) -> None:
        """The styles of print, while nothing is printed."""
        self._call("Emulation.setEmulatedMedia", media="print" if on else "")

    def value(self, expression: str) -> Any:
        """The value of an expression in the page."""
        answer = self._call(
            "Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True
        )
        if "exceptionDetails" in answer:
            raise BrowserError(f"{expression}: {answer['exceptionDetails']}")
        return answer["result"].get("value")

    def until(self, expression: str, seconds: float = PATIENCE_S) -> Any:
        """Wait until an expression is true in the page, and give its value."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                found = self.value(expression)
            except BrowserError as fault:
                if LEFT not in str(fault):
                    raise
                found = None  # asked as the page was left for the next
            if found:
                return found
            time.sleep(0.05)
        raise BrowserError(f"not in {seconds:.0f} s: {expression}")

    def click(self, selector: str) -> None:
        """Press the mouse in the middle of an element."""
        place = self.value(f"probes.middle({json.dumps(selector)})")
        self.press(*place)
        self.release(*place)

    def press(self, x: float, y: float) -> None:
        self._mouse("mousePressed", x, y, button="left", clickCount=1)

    def move(self, x: float, y: float) -> None:
        self._mouse("mouseMoved", x, y, button="left", buttons=1)

    def release(self, x: float, y: float) -> None:
        self._mouse("mouseReleased", x, y, button="left", clickCount=1)

    def wheel(self, x: float, y: float, down: float) -> None:
        self._mouse("mouseWheel", x, y, deltaX=0, deltaY=down)

    def hover(self, x: float, y: float) -> None:
        self._mouse("mouseMoved", x, y)

    def fingers(self, most: int) -> None:
        """Whether the screen can be touched, and with how many fingers."""
        told: dict[str, Any] = {"enabled": most > 0, **({"maxTouchPoints": most} if most else {})}
        self._call("Emulation.setTouchEmulationEnabled", **told)

    def touch(self, what: str, *fingers: tuple[float, float]) -> None:
        """`Start` with one finger more, `Move` of all that are down, `End` of them all."""
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(fingers)]
        self._call("Input.dispatchTouchEvent", type=f"touch{what}", touchPoints=points)

    def key(self, name: str, *, shift: bool = False, ctrl: bool = False, alt: bool = False) -> None:
        code = KEYS[name] if name in KEYS else ord(name.upper())
        held = SHIFT * shift + CTRL * ctrl + ALT * alt
        told = {"key": name, "windowsVirtualKeyCode": code, "modifiers": held}
        text = {"text": CHARACTERS[name]} if name in CHARACTERS and not (ctrl or alt) else {}
        down = "keyDown" if text else "rawKeyDown"
        self._call("Input.dispatchKeyEvent", type=down, **told, **text)
        self._call("Input.dispatchKeyEvent", type="keyUp", **told)

    def type(self, text: str) -> None:
        """Letter by letter, as one types; a line end is the key for it."""
        for letter in text:
            if letter == "\n":
                self.key("Enter")
                continue
            for what in ("keyDown", "keyUp"):
                said = {"text": letter} if what == "keyDown" else {}
                self._call("Input.dispatchKeyEvent", type=what, key=letter, **said)

    def offline(self, on: bool) -> None:
        """Whether the network is cut: new requests fail, and open ones end."""
        told = {"latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
        self._call("Network.emulateNetworkConditions", offline=on, **told)

    def downloads(self, folder: Path) -> None:
        """Where files go that the page makes."""
        self._call("Page.setDownloadBehavior", behavior="allow", downloadPath=str(folder))

    def framed(self) -> list[str]:
        """What stands in the page's frames; the browser's own page where it refused to show it."""
        tree = self._call("Page.getFrameTree")["frameTree"]
        return [child["frame"]["url"] for child in tree.get("childFrames", [])]

    def description(self, name: str) -> str:
        """What a screen reader is told of something beside its name."""
        nodes = self._call("Accessibility.getFullAXTree")["nodes"]
        shown = (node for node in nodes if not node["ignored"])
        found = next(node for node in shown if node.get("name", {}).get("value") == name)
        told: str = found.get("description", {}).get("value", "")
        return told

    def names(self) -> list[tuple[str, str]]:
        """Role and name of everything a screen reader is told of."""
        nodes = self._call("Accessibility.getFullAXTree")["nodes"]
        return [
            (node.get("role", {}).get("value", ""), node.get("name", {}).get("value", ""))
            for node in nodes
            if not node["ignored"]
        ]

    def printed(self) -> bytes:
        """The page as PDF, as one prints it: without grounds."""
        return base64.b64decode(self._call("Page.printToPDF", preferCSSPageSize=True)["data"])

    def picture(self, path: Path, *, whole: bool = False) -> None:
        shot = self._call("Page.captureScreenshot", captureBeyondViewport=whole)
        path.write_bytes(base64.b64decode(shot["data"]))

    def _mouse(self, what: str, x: float, y: float, **told: Any) -> None:
        self._call("Input.dispatchMouseEvent", type=what, x=x, y=y, **told)

    def _send(self, method: str, **parameters: Any) -> int:
        number = next(self._numbers)
        message: dict[str, Any] = {"id": number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._into, json.dumps(message).encode() + b"\0")
        return number

    def _call(self, method: str, **parameters: Any) -> dict[str, Any]:
        number = self._send(method, **parameters)
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            answer = self._next(end)
            if answer.get("id") == number:
                if "error" in answer:
                    raise BrowserError(f"{method}: {answer['error']}")
                result: dict[str, Any] = answer["result"]
                return result
            self._note(answer)
        raise BrowserError(f"{method}: no answer")

    def _next(self, end: float) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._out], [], [], max(0.0, end - time.monotonic()))
            piece = os.read(self._out, 1 << 20) if ready else b""
            if not piece:
                raise BrowserError("the browser says nothing more")
            self._rest += piece
        one, _, self._rest = self._rest.partition(b"\0")
        message: dict[str, Any] = json.loads(one)
        return message

    def _note(self, event: dict[str, Any]) -> None:
        told = event.get("params", {})
        match event.get("method"):
            case "Network.requestWillBeSent":
                self.requests.append(told["request"]["url"])
            case "Page.javascriptDialogOpening":
                self.asked.append(told["type"])
                self._send("Page.handleJavaScriptDialog", accept=self.leaves)
            case "Runtime.exceptionThrown":
                self.faults.append(json.dumps(told["exceptionDetails"]))
            case "Runtime.consoleAPICalled" if told["type"] in ("error", "warning", "assert"):
                self.faults.append(json.dumps(told["args"]))
            case "Log.entryAdded" if told["entry"]["level"] in ("error", "warning"):
                self.faults.append(json.dumps(told["entry"]))


@contextmanager
def page(program: str, profile: Path) -> Iterator[Page]:
    """A page of a browser of its own, which ends with it."""
    asks_out, asks_in = os.pipe()
    told_out, told_in = os.pipe()
    flags = [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
        "--no-first-run", "--disable-background-networking", "--disable-component-update",
        f"--user-data-dir={profile}", "--remote-debugging-pipe",
    ]  # fmt: skip
    joined = f'exec 3<&{asks_out} 4>&{told_in}; exec "$@"'
    process = subprocess.Popen(
        ["bash", "-c", joined, "-", program, *flags],
        pass_fds=(asks_out, told_in),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(asks_out)
    os.close(told_in)
    try:
        opened = Page(asks_in, told_out)
        opened.attach()
        yield opened
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE_S)
        os.close(asks_in)
        os.close(told_out)
