"""Where a browser is on this machine, and how to bring one if there is none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

NAMED = "PITSTEAD_BROWSER"
#  Without a window: they draw the same pages with two thirds of the work.
_SHELLS = ("chromium-headless-shell", "chrome-headless-shell")
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
    """The program file of a browser, or None: the one named in the environment, else one without a window, else one on
    the path, in a usual place, or Playwright's own."""
    named = os.environ.get(NAMED)
    if named:
        return shutil.which(named)
    shell = next(filter(None, map(shutil.which, _SHELLS)), None)
    if shell is not None:
        return shell
    own = _playwrights_own()
    kept = next((folder for folder in own.parents if folder.name.startswith("chromium-")), own)
    places = (
        *kept.parent.glob(f"{kept.name.replace('-', '_headless_shell-')}/*/*headless*shell*"),
        *map(shutil.which, _ON_PATH),
        *_USUAL,
        own,
    )
    return next((str(place) for place in places if place and Path(place).is_file()), None)


def found_or_brought() -> str | None:
    """A browser, installed first where that can be done without asking: by the system's packages on Debian as root,
    else by Playwright unless this is a build machine."""
    held = found()
    if os.environ.get(NAMED) or (held and "shell" in Path(held).name):
        return held
    if shutil.which("apt-get") and getattr(os, "geteuid", lambda: 1)() == 0:
        if held is None:
            _apt_get("update")
        if not _apt_get("install", "-y", "--no-install-recommends", _SHELLS[0]) and held is None:
            _apt_get("install", "-y", "--no-install-recommends", _ON_PATH[0])
    elif held is None and not os.environ.get("CI"):
        subprocess.run([sys.executable, "-m", "playwright", "install", "--only-shell", "chromium"], check=False)
    return found()


def _apt_get(*words: str) -> bool:
    """Whether the system's packages did it; what they lack is said only where no browser is found in the end."""
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    done = subprocess.run(["apt-get", "-qq", *words], env=quiet, check=False, stderr=subprocess.DEVNULL)
    return done.returncode == 0


def _playwrights_own() -> Path:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        return Path(playwright.chromium.executable_path)
