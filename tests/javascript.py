"""Functions of the page's scripts, called from a test through the `deno` package, without a browser."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path
from typing import Any

import deno


def answer(module: Path, expression: str, data: Any, memory: Path) -> Any:
    """What an expression gives, in which `m` is a module and `data` a plain value.

    module : file of the script; memory : folder the runtime may write to
    """
    script = (
        f"import * as m from {json.dumps(module.resolve().as_uri())}; const data = {json.dumps(data)};"
        f"console.log(JSON.stringify({expression}));"
    )
    done = subprocess.run(
        [deno.find_deno_bin(), "eval", "--no-lock", "--no-remote", "--no-npm", script],
        env={**os.environ, "DENO_DIR": str(memory), "DENO_NO_UPDATE_CHECK": "1", "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def called(module: Path, calls: list[tuple[str, list[Any]]], memory: Path) -> list[Any]:
    """What exported functions of a module give back, in the order asked.

    module : file of the script; calls : (name, arguments as JSON); memory : folder the runtime may write to
    """
    answers: list[Any] = answer(module, "data.map(([name, given]) => m[name](...given))", calls, memory)
    return answers
