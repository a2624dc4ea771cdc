"""Modules laid into one text: in order, once each, and only what can be laid so."""

import re
from pathlib import Path

import pytest

from sitemap.maps.bundle import bundle, value_of
from sitemap.maps.editable import SCRIPT


def write(folder: Path, **texts: str) -> Path:
    for name, text in texts.items():
        (folder / f"{name}.js").write_text(text, encoding="utf-8")
    return folder / "main.js"


def test_law_what_is_imported_comes_first_and_once(tmp_path: Path) -> None:
    entry = write(
        tmp_path,
        base="export const one = 1;\n/** @type {any} */ (globalThis).kept = one;\n/** Of no use here. */\n",
        middle='import { one } from "./base.js";\nexport const two = one + 1;\n',
        main='import { one } from "./base.js";\nimport { two } from "./middle.js";\n/** Types {{x: 1}}. */\n'
        "export default function () {\n  return one + two;\n}\n",
    )
    laid = " ".join(bundle(entry).split())
    cast = "/** @type {any} */ (globalThis).kept = one;"  # a comment before it begins no longer one
    assert laid == f"const one = 1; {cast} const two = one + 1; export default function () {{ return one + two; }}"
    assert "export" not in value_of(entry)


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        (
            {"main": 'import { a } from "./other.js";\nconst a = 1;\n', "other": "export const a = 1;\n"},
            "a is declared",
        ),
        ({"main": 'import * as all from "./other.js";\n'}, "are known here"),
        ({"main": "export * from './other.js';\n"}, "are known here"),
        ({"main": "const a = {{b: 1}};\n"}, "own language"),
    ],
)
def test_refuses_what_one_scope_cannot_hold(tmp_path: Path, texts: dict[str, str], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        bundle(write(tmp_path, **texts))


def test_law_every_script_of_the_map_is_in_its_text() -> None:
    laid = value_of(SCRIPT)
    for path in SCRIPT.parent.glob("*.js"):
        declared = re.findall(r"^(?:export )?((?:class|function) \w+)", path.read_text(encoding="utf-8"), re.M)
        assert declared, path.name
        assert all(words in laid for words in declared), path.name
