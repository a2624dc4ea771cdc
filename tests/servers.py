"""Where a PostgreSQL server is on this machine, how to bring one if there is none, and one to try the store on.

The server of a test lies in a folder of its own, listens on a socket in it and nowhere else, and is gone afterwards.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from glob import glob
from pathlib import Path

NAMED = "PITSTEAD_POSTGRES"
MISSING = f"No PostgreSQL server found: install one, or name the folder of its programs (initdb, pg_ctl) in {NAMED}."
_USUAL = (
    "/usr/lib/postgresql/*/bin",
    "/usr/pgsql-*/bin",
    "/opt/homebrew/opt/postgresql*/bin",
    "/usr/local/opt/postgresql*/bin",
    r"C:\Program Files\PostgreSQL\*\bin",
)
_USERS = ("postgres", "nobody")  # the server refuses to run as root


def found() -> Path | None:
    """The folder of the server's programs: named in the environment, on the path, or in a usual place."""
    named, on_path = os.environ.get(NAMED), shutil.which("initdb")
    places = [named] if named else [os.path.dirname(on_path)] if on_path else [p for u in _USUAL for p in glob(u)]
    return next((Path(place) for place in reversed(places) if shutil.which("initdb", path=place)), None)


def found_or_brought() -> Path | None:
    """A server, installed first by the system's packages where that can be done without asking: on Debian as root."""
    if found() is None and shutil.which("apt-get") and getattr(os, "geteuid", lambda: 1)() == 0:
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-qq"], env=quiet, check=False)
        subprocess.run(
            ["apt-get", "install", "-y", "-qq", "--no-install-recommends", "postgresql"], env=quiet, check=False
        )
    return found()


@contextmanager
def running() -> Iterator[str]:
    """A server that runs for a while; its address, to which the name of a database is added."""
    programs = found()
    assert programs is not None, MISSING
    folder = Path(tempfile.mkdtemp(prefix="pit"))  # short: the name of a socket may have 107 letters
    who = {}
    if getattr(os, "geteuid", lambda: 1)() == 0:
        user = next(name for name in _USERS if _known(name))
        shutil.chown(folder, user)
        who = {"user": user, "cwd": folder}

    def run(program: str, *words: str) -> None:
        done = subprocess.run([programs / program, *words], capture_output=True, text=True, check=False, **who)
        assert done.returncode == 0, f"{program}: {done.stdout} {done.stderr}"

    data = str(folder / "data")
    try:
        run("initdb", "-D", data, "-U", "pitstead", "--auth=trust", "-E", "UTF8", "--locale=C", "--no-sync")
        how = f"-k {folder} -c listen_addresses='' -c fsync=off"
        run("pg_ctl", "-D", data, "-o", how, "-l", str(folder / "log"), "-w", "start")
        try:
            yield f"postgresql+psycopg://pitstead@/{{}}?host={folder}"
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder)


def _known(name: str) -> bool:
    import pwd

    try:
        return bool(pwd.getpwnam(name))
    except KeyError:
        return False
