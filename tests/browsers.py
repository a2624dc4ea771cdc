"""Where a browser is on this machine, and how to bring one if there is none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

NAMED = "PITSTEAD_BROWSER"
_ON_PATH = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
)
_USUAL = (
    "/snap/bin/chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


def found() -> str | None:
    """The program file of a browser, or None: the one named in the environment, on the path, in a usual place, or
    Playwright's own."""
    named = os.environ.get(NAMED)
    if named:
        return shutil.which(named)
    on_path = next(filter(None, map(shutil.which, _ON_PATH)), None)
    return on_path or next((place for place in _USUAL if Path(place).is_file()), None) or _playwrights_own()


def found_or_brought() -> str | None:
    """A browser, installed first where that can be done without asking: by the system's packages on Debian as root,
    else by Playwright unless this is a build machine."""
    if found() or os.environ.get(NAMED):
        return found()
    if shutil.which("apt-get") and getattr(os, "geteuid", lambda: 1)() == 0:
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-qq"], env=quiet, check=False)
        subprocess.run(
            ["apt-get", "install", "-y", "-qq", "--no-install-recommends", "chromium"], env=quiet, check=False
        )
    elif not os.environ.get("CI"):
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    return found()


def _playwrights_own() -> str | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        program = playwright.chromium.executable_path
    return program if Path(program).is_file() else None
