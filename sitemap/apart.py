"""Heavy work in a process of its own: whoever else is at the program does not wait for it, and it can be ended.

A process waits for the next piece of work when one is done, so that little work begins at once. No more run at one time
than there are cores; what comes then waits its turn. A process ends with the program that began it.
"""

from __future__ import annotations

import atexit
import faulthandler
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from threading import BoundedSemaphore, Event, Lock, Thread
from typing import Any, BinaryIO

from sitemap.errors import BadFile, PitsteadError
from sitemap.reasons import Quantity, reason

LONGEST_S = 600.0  # [s] a piece of work may take: what takes longer is no work for somebody who waits
_ROOT = str(Path(__file__).parents[1])
_TOLD, _DONE, _FAULT, _BROKEN = "told", "done", "fault", "broken"
_turns = BoundedSemaphore(max(2, os.cpu_count() or 1))
_idle: list[subprocess.Popen[bytes]] = []
_lock = Lock()


class Work:
    """A function at work in another process.

    Parameters
    ----------
    function : of a module, which the other process imports; what goes in and comes out is pickled
    *args : what it is called with
    tells : whether it takes `progress`, a function it calls with how far it is
    """

    def __init__(self, function: Callable[..., Any], *args: Any, tells: bool = False) -> None:
        self.last: tuple[Any, ...] = ()  # what it told last
        self._task = function, args, tells
        self._over, self._stopped = Event(), False
        self._process: subprocess.Popen[bytes] | None = None
        self._result: Any = None
        self._fault: PitsteadError | RuntimeError | None = None
        Thread(target=self._follow, daemon=True).start()

    @property
    def begun(self) -> bool:
        """Whether it was its turn yet."""
        return self._process is not None or self.over()

    def over(self, within_s: float = 0.0) -> bool:
        """Whether it is done, refused or ended; waits for that so long [s]."""
        return self._over.wait(within_s)

    def stop(self) -> None:
        """End it; its process is gone."""
        with _lock:
            if self._over.is_set():
                return
            self._stopped = True
            if self._process is not None:
                _end(self._process)  # whoever hears it clears up
            else:
                self._over.set()

    def result(self) -> Any:
        """What came of it, once it is over. Raises what the function raised, of errors raised on purpose; BadFile where
        it was ended; RuntimeError for a fault of the program."""
        self._over.wait()
        if self._stopped:
            raise BadFile(reason("files.stopped"))
        if self._fault is not None:
            raise self._fault
        return self._result

    def _follow(self) -> None:
        with _turns:
            with _lock:
                process = None if self._stopped else (_waiting() or _begin())
                self._process = process
            if process is not None and self._heard(process):
                with _lock:
                    self._process = None  # it is no more this work's to end
                _put_back(process)
            elif process is not None:
                _kill(process)
        self._over.set()

    def _heard(self, process: subprocess.Popen[bytes]) -> bool:
        """Hear the process to the end; whether it can be given other work."""
        try:
            self._hear(process)
        except (OSError, EOFError, pickle.UnpicklingError):  # it ended, or was ended
            self._fault = BadFile(reason("files.broke_off", longest=Quantity(LONGEST_S, "s")))
        except Exception as error:  # what goes in cannot be pickled: a fault of ours
            self._fault = RuntimeError(str(error))
        else:
            return not self._stopped
        return False

    def _hear(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        pickle.dump(self._task, process.stdin)
        process.stdin.flush()
        while True:
            what, *said = pickle.load(process.stdout)  # written by ourselves
            if what == _TOLD:
                self.last = tuple(said)
                continue
            if what == _DONE:
                (self._result,) = said
            else:
                self._fault = said[0] if what == _FAULT else RuntimeError(said[0])
            return


def _waiting() -> subprocess.Popen[bytes] | None:
    """A process that waits for work; one that ended meanwhile, for want of memory say, is none."""
    while _idle:
        process = _idle.pop()
        if process.poll() is None:
            return process
        _close(process)
    return None


def _begin() -> subprocess.Popen[bytes]:
    path = os.pathsep.join(filter(None, (_ROOT, os.environ.get("PYTHONPATH"))))
    return subprocess.Popen(
        [sys.executable, "-m", __name__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path},
        start_new_session=True,  # so that what it begins itself is ended with it
    )


def _put_back(process: subprocess.Popen[bytes]) -> None:
    with _lock:
        if not _idle and process.poll() is None:
            _idle.append(process)
            return
    _kill(process)


def _end(process: subprocess.Popen[bytes]) -> None:
    with suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()


def _kill(process: subprocess.Popen[bytes]) -> None:
    _end(process)
    process.wait()
    _close(process)


def _close(process: subprocess.Popen[bytes]) -> None:
    for pipe in (process.stdin, process.stdout):
        if pipe is not None:
            with suppress(OSError):
                pipe.close()


def _end_idle() -> None:
    while _idle:
        _kill(_idle.pop())


atexit.register(_end_idle)


def _serve(tasks: BinaryIO, answers: BinaryIO) -> None:
    """Do one task after another until there are no more."""

    def say(*words: Any) -> None:
        answers.write(pickle.dumps(words))
        answers.flush()

    while True:
        try:
            function, args, tells = pickle.load(tasks)
        except EOFError:
            return
        more = {"progress": lambda *words: say(_TOLD, *words)} if tells else {}
        faulthandler.dump_traceback_later(LONGEST_S, exit=True)  # where it was goes to the log
        try:
            say(_DONE, function(*args, **more))
        except PitsteadError as error:
            say(_FAULT, error)
        except BrokenPipeError:  # the program that asked for it is gone
            return
        except Exception as error:
            import traceback

            traceback.print_exc()  # into the program's own log
            say(_BROKEN, f"{type(error).__name__}: {error}"[:200])
        faulthandler.cancel_dump_traceback_later()


def _main() -> None:
    """Answers go where words were printed; what a library prints goes to the log."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    _serve(sys.stdin.buffer, answers)


if __name__ == "__main__":
    _main()
