"""A JupyterLab server on a copy of the notebooks, and one page of it in a headless Chromium.

A test asks for the fixture `page`; a script opens its own:

    with Lab(folder) as lab, open_page(lab, browser) as page:
        page.open_notebook("05_lids.ipynb")
        page.run_all()
        assert page.code_cell_errors() == []
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ConsoleMessage, Locator, Page, Request

__all__ = ["Lab", "LabPage", "chromium", "copy_project", "launch", "open_page"]

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("kit", "notebooks", "shared")
CHROMIUM_ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]

READY = """() => {
    const panel = window.jupyterapp?.shell?.currentWidget;
    const kernel = panel?.sessionContext?.session?.kernel;
    return !!kernel && kernel.connectionStatus === 'connected' && kernel.status === 'idle' && panel.context.isReady;
}"""
RUN_ALL = "() => window.jupyterapp.commands.execute('notebook:run-all-cells')"
SAVE = "() => window.jupyterapp.commands.execute('docmanager:save')"
CODE_CELLS = """() => window.jupyterapp.shell.currentWidget.content.widgets
    .filter(cell => cell.model.type === 'code')
    .map(cell => ({
        source: cell.model.sharedModel.getSource(),
        count: cell.model.executionCount,
        errors: Array.from({length: cell.model.outputs.length}, (_, i) => cell.model.outputs.get(i).toJSON())
            .filter(output => output.output_type === 'error')
            .map(output => output.ename + ': ' + output.evalue),
    }))"""
AXE = """async () => {
    if (!document.querySelector('.br-view')) return [];
    const found = await axe.run({include: [['.br-view']]}, {resultTypes: ['violations']});
    return found.violations.filter(one => ['serious', 'critical'].includes(one.impact)).flatMap(
        one => one.nodes.slice(0, 5).map(node => [one.id, one.impact, node.html.slice(0, 200)]));
}"""
CONTENT_HEIGHT = """() => {
    const panel = window.jupyterapp.shell.currentWidget;
    const scroller = panel.node.querySelector('.jp-WindowedPanel-outer') ?? panel.content.node;
    scroller.scrollTop = 0;
    const bottoms = [...scroller.querySelectorAll('.jp-Cell')].map(cell => cell.getBoundingClientRect().bottom);
    const content = Math.max(0, ...bottoms) - scroller.getBoundingClientRect().top;
    return Math.ceil(window.innerHeight - scroller.clientHeight + content + 40);
}"""


def axe_source() -> str:
    """The checker of accessibility as its package carries it."""
    import axe_playwright_python

    return (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")


def chromium() -> str | None:
    """Path of the Chromium to drive: the variable CHROMIUM, else the first of the usual names; None without one."""
    names = [os.environ.get("CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome"]
    return next((found for name in names if name and (found := shutil.which(name))), None)


def copy_project(folder: Path) -> Path:
    """A copy of what notebooks read, so that nothing recorded in a test reaches the project's own files."""
    ignored = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "*.lock")
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=ignored, dirs_exist_ok=True)
    (folder / "notebooks").mkdir(parents=True, exist_ok=True)
    return folder


class Lab:
    """A JupyterLab server on `folder/project`, with settings of its own; `log` holds what it printed."""

    def __init__(self, folder: Path) -> None:
        self.project = copy_project(folder / "project")
        self.notebooks = self.project / "notebooks"
        self.log = folder / "server.log"
        self._state = folder / "state"
        self._token = secrets.token_hex(16)
        self._port = _free_port()
        self._server: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Lab:
        """Start the server and wait until it answers."""
        _without_news(self._state / "settings")
        with self.log.open("wb") as log:
            self._server = subprocess.Popen(
                self._command(), env=self._environment(), stdout=log, stderr=log, stdin=subprocess.DEVNULL,
                start_new_session=True,
            )
        try:
            self._wait(60)
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        """Stop the server and its kernels, and nothing else."""
        server, self._server = self._server, None
        if server is None:
            return
        stop = getattr(os, "killpg", os.kill)
        for sign in (signal.SIGTERM, getattr(signal, "SIGKILL", signal.SIGTERM)):
            try:
                stop(server.pid, sign)
                server.wait(timeout=10)
            except ProcessLookupError:
                return
            except subprocess.TimeoutExpired:
                continue

    def address(self, path: str, query: str = "") -> str:
        """The address of a path on this server, with its token."""
        return f"http://127.0.0.1:{self._port}{path}?token={self._token}{query}"

    def stop_kernels(self) -> None:
        """End every running notebook's kernel."""
        with urllib.request.urlopen(self.address("/api/sessions"), timeout=10) as answer:
            sessions = json.load(answer)
        for session in sessions:
            request = urllib.request.Request(self.address(f"/api/sessions/{session['id']}"), method="DELETE")
            urllib.request.urlopen(request, timeout=20).close()

    def _command(self) -> list[str]:
        return [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ip=127.0.0.1",
            f"--port={self._port}", "--ServerApp.port_retries=0", f"--IdentityProvider.token={self._token}",
            f"--ServerApp.root_dir={self.project}", "--LabApp.expose_app_in_browser=True",
        ]

    def _environment(self) -> dict[str, str]:
        own = {
            "JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
            "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces", "IPYTHONDIR": "ipython",
        }
        folders = {name: str(self._state / folder) for name, folder in own.items()}
        builds = {"RECKONER_BUILDS": str(self.builds)}
        return {**os.environ, **folders, **builds, "PYTHONPATH": str(self.project)}

    @property
    def builds(self) -> Path:
        """Where what is recorded in the notebooks lands."""
        return self.project / "notebooks" / "my_builds"

    def _wait(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            assert self._server is not None
            if self._server.poll() is not None:
                break
            try:
                urllib.request.urlopen(self.address("/api/status"), timeout=5).close()
                return
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        raise RuntimeError(f"JupyterLab did not answer within {seconds} s; it printed:\n{self.log.read_text()}")


class LabPage:
    """One browser page of a Lab, with what a reader does on it as methods.

    `faults` collects the page's own script errors, `outside` the addresses it asked for beyond this machine.
    """

    def __init__(self, lab: Lab, page: Page) -> None:
        self.lab, self.page = lab, page
        self.faults: list[str] = []
        self.outside: list[str] = []
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("console", self._heard)
        page.on("request", self._asked)

    def open_notebook(self, name: str) -> None:
        """Open a notebook alone on the page and wait until its kernel can be asked to run."""
        self.page.goto(self.lab.address(f"/lab/tree/notebooks/{name}", "&reset"))
        self.page.wait_for_selector(".jp-Notebook", timeout=60_000)
        # An idle kernel whose channel is not connected yet runs nothing and says nothing.
        self.page.wait_for_function(READY, timeout=60_000)

    def run_all(self) -> None:
        """Run every cell and wait for the last."""
        self.page.evaluate(RUN_ALL)

    def inaccessible(self) -> list[str]:
        """Serious faults that axe-core finds in the forms and views of this kit: rule, how bad, and where."""
        self.page.evaluate(axe_source())
        found = self.page.evaluate(AXE)
        return [f"{rule} ({impact}): {where}" for rule, impact, where in found]

    def code_cell_errors(self) -> list[str]:
        """One line for each code cell that was not run or that shows an error."""
        lines: list[str] = []
        for number, cell in enumerate(self._code_cells(), start=1):
            if cell["source"].strip() and not cell["count"]:
                lines.append(f"cell {number} was not run")
            lines += [f"cell {number}: {error}" for error in cell["errors"]]
        return lines

    def fill(self, label: str, text: str) -> Locator:
        """Type text into the box with this label, and Enter; returns the box."""
        box = self.page.get_by_label(label, exact=True).first
        box.fill(text)
        box.press("Enter")
        return box

    def click(self, name: str) -> None:
        """Press the button with this name in the notebook."""
        self.page.locator(".jp-Notebook").get_by_role("button", name=name, exact=True).first.click()

    def wait_for_text(self, selector: str, text: str, seconds: float = 10) -> Locator:
        """The first element at the selector that shows this text; fails after the seconds given."""
        found = self.page.locator(selector).filter(has_text=text).first
        found.wait_for(state="visible", timeout=1000 * seconds)
        return found

    def wait_until(self, holds: Callable[[], bool], seconds: float = 10) -> None:
        """Wait until something outside the page holds, such as a file's text; fails after the seconds given."""
        end = time.monotonic() + seconds
        while not holds():
            assert time.monotonic() < end, f"still not so after {seconds} s"
            self.page.wait_for_timeout(50)

    def save(self) -> None:
        """Save the notebook."""
        self.page.evaluate(SAVE)

    def set_theme(self, dark: bool) -> None:
        """Change to the dark or the light theme and wait until it shows."""
        theme = "JupyterLab Dark" if dark else "JupyterLab Light"
        self.page.evaluate("t => window.jupyterapp.commands.execute('apputils:change-theme', {theme: t})", theme)
        self.page.wait_for_selector(f"body[data-jp-theme-light='{str(not dark).lower()}']", state="attached")

    def narrow(self, width: int, height: int = 900) -> None:
        """Give the window this width, with the side panel closed so that the notebook has all of it."""
        self.page.set_viewport_size({"width": width, "height": height})
        self.page.evaluate("() => window.jupyterapp.shell.collapseLeft()")

    def screenshot(self, path: Path, tallest: int = 20_000) -> Path:
        """A picture of the whole notebook, from its first cell to its last, as far as `tallest` pixels."""
        before = self.page.viewport_size
        assert before is not None
        for _ in range(2):  # cells drawn for the first time change the height
            height = min(self.page.evaluate(CONTENT_HEIGHT), tallest)
            self.page.set_viewport_size({"width": before["width"], "height": max(height, 300)})
            self.page.wait_for_timeout(300)
        self.page.screenshot(path=path)
        self.page.set_viewport_size(before)
        return path

    def _code_cells(self) -> list[dict[str, Any]]:
        cells: list[dict[str, Any]] = self.page.evaluate(CODE_CELLS)
        return cells

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.faults.append(message.text)

    def _asked(self, request: Request) -> None:
        if not request.url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")):
            self.outside.append(request.url)


@contextmanager
def launch(executable: str) -> Iterator[Browser]:
    """A headless Chromium, closed at the end."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, headless=True, args=CHROMIUM_ARGUMENTS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def open_page(lab: Lab, browser: Browser, width: int = 1280, height: int = 900) -> Iterator[LabPage]:
    """A page with nothing remembered from another; its kernels end with it."""
    context = browser.new_context(viewport={"width": width, "height": height})
    try:
        yield LabPage(lab, context.new_page())
    finally:
        context.close()
        lab.stop_kernels()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _without_news(settings: Path) -> None:
    """Keep the dialog about news from covering the page."""
    folder = settings / "@jupyterlab" / "apputils-extension"
    folder.mkdir(parents=True, exist_ok=True)
    wanted = {"fetchNews": "false", "checkForUpdates": False}
    (folder / "notification.jupyterlab-settings").write_text(json.dumps(wanted), encoding="utf-8")
