"""What an installer is told is what stands in the folder: dependencies, files beside the code, the licence."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
FOR_TESTS = "# What the tests need beside it"


def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def listed(text: str) -> list[str]:
    return [line.replace('"', "'") for line in text.splitlines() if line and not line.startswith("#")]


def test_law_the_package_needs_what_requirements_txt_installs() -> None:
    app, tests = (ROOT / "requirements.txt").read_text(encoding="utf-8").split(FOR_TESTS)
    said = project()["project"]
    assert said["dependencies"] == listed(app)
    assert said["optional-dependencies"]["tests"] == listed(tests)


def test_law_every_file_beside_the_code_goes_along() -> None:
    package = ROOT / "sitemap"
    taken = {path for glob in project()["tool"]["setuptools"]["package-data"]["sitemap"] for path in package.glob(glob)}
    beside = {path for path in package.rglob("*") if path.is_file() and path.suffix not in (".py", ".pyc")}
    assert beside
    assert taken == beside


def test_law_every_folder_of_code_is_a_package() -> None:
    """A folder without `__init__.py` would be left out in silence."""
    package = ROOT / "sitemap"
    folders = {path.parent for path in package.rglob("*.py")}
    assert {folder for folder in folders if not (folder / "__init__.py").is_file()} == set()


def test_law_the_licence_named_is_there() -> None:
    said = project()["project"]
    (file,) = said["license-files"]
    assert (ROOT / file).read_text(encoding="utf-8").startswith(f"{said['license']} License")
