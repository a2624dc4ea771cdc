"""One script out of modules that import each other, for pages that take a script as one text.

The map component and the sheet component each take one text, and a plan must stand alone in one file: none of them can
load modules. So the modules are laid one after the other, those that are imported first, without their import lines and
without the word `export`. That is one scope: a name may be declared only once in all of them, which is seen to here.
"""

from __future__ import annotations

import re
from pathlib import Path

#  Types and units are for the reader, not for the browser; a line that begins with one and goes on is none of them.
_BLOCK = re.compile(r"^[ \t]*/\*\*(?:(?!\*/).)*\*/[ \t]*\n", re.M | re.S)
_LINE = re.compile(r"^[ \t]*//.*\n", re.M)
_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w.]+)";\n', re.M)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const|let)\b)", re.M)
_DECLARED = re.compile(r"^(?:export )?(?:async )?(?:function|class|const|let) (\w+)", re.M)
_DECLARED_MORE = re.compile(r"^(?:export )?(?:const|let) .*?, (\w+) = ", re.M)
_TEMPLATE = ("{{", "{%", "{#")  # the map library runs these as its own language


def bundle(entry: Path) -> str:
    """The text of a module with all it imports before it. Raises ValueError for what cannot be laid in one scope.

    entry : file of the module; what it imports lies in the same folder
    """
    order: list[Path] = []
    _collect(entry, order)
    names: dict[str, str] = {}
    parts = []
    for path in order:
        text = path.read_text(encoding="utf-8")
        for name in (*_DECLARED.findall(text), *_DECLARED_MORE.findall(text)):
            if name in names:
                raise ValueError(
                    f"{name} is declared in {names[name]} and in {path.name}: one of them needs another name."
                )
            names[name] = path.name
        parts.append(_plain(path, text))
    return "\n".join(parts)


def value_of(entry: Path) -> str:
    """The default export of a module as one expression that leaves no name behind in the page."""
    text = bundle(entry).replace("export default function", "return function")
    return f'(() => {{\n"use strict";\n{text}}})()'


def _collect(path: Path, order: list[Path]) -> None:
    if path in order:
        return
    for _, name in _IMPORT.findall(path.read_text(encoding="utf-8")):
        _collect(path.with_name(name), order)
    if path not in order:
        order.append(path)


def _plain(path: Path, text: str) -> str:
    plain = _EXPORT.sub("", _IMPORT.sub("", _LINE.sub("", _BLOCK.sub("", text))))
    if re.search(r"^import |^export (?!default function )", plain, re.M):
        raise ValueError(
            f'{path.name}: only import {{ name }} from "./file.js" and export of a declaration are known here.'
        )
    for sign in _TEMPLATE:
        if sign in plain:
            raise ValueError(f"{path.name}: {sign} would be run by the map library's own language.")
    return plain
