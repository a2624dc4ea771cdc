"""Who may import whom: imports only go down, heavy libraries stay in their rooms, modules stay small."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "sitemap"
LONGEST = 400  # lines

#  Top floor first; rooms on one floor never import each other. A single module that joins rooms stands with them:
#  what tells of an assessment above it, what prepares one below it.
FLOORS = (
    ("views", "__main__"),
    ("many",),
    ("plan",),
    ("maps",),
    ("report", "summary", "ahead", "siting", "helps", "compare"),
    ("assessment",),
    ("watered", "burning"),
    ("day", "between", "season", "opened"),
    ("water", "kiln", "slash", "safety"),
    ("terrain", "hydraulics"),
    ("site",),
    ("geodesy",),
    (
        "tables",
        "ranges",
        "units",
        "notes",
        "errors",
        "reasons",
        "telling",
        "wording",
        "named",
        "apart",
        "progress",
        "roots",
        "letters",
    ),
)
#  Rooms of the trade: what is computed knows no site, it takes numbers and typed records; only what reads the site and
#  what applies the formulas to it does.
FORMULA_ROOMS = ("hydraulics", "slash", "kiln", "water", "safety")
APPLIES = ("reading", "of_site", "routes")
FLOOR_OF = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
GROUND_FLOOR = len(FLOORS) - 1  # small shared things: they may use one another, as long as there is no cycle

#  Library: where it may be imported (modules or packages below sitemap, and app).
HEAVY = {
    "streamlit": ("views", "app"),
    "streamlit_folium": ("views.map.canvas",),
    "folium": ("maps", "views.map.canvas"),
    "branca": ("maps", "views.map.canvas"),
    "matplotlib": (),
    "typst": ("plan",),
    "fontTools": ("plan.fonts",),
    "gpxpy": ("site.imports", "plan.gpx"),
    "icalendar": ("plan.ics",),
    "PIL": ("site.photos", "terrain.pack", "views.inputs.picture"),
    "pmtiles": ("terrain.pack",),
    "geopandas": ("site.imports", "plan.exports", "many.files"),
    "pyogrio": ("site.imports", "plan.exports"),
    "distributed": ("many.run",),
    "rasterio": ("terrain",),
}


@dataclass(frozen=True)
class Module:
    """One module of the project: its name below `sitemap` ("slash.volume", "errors", "app") and what it imports."""

    name: str
    path: Path
    imports: tuple[str, ...]  # dotted names, as far as they are written

    @property
    def room(self) -> str:
        return self.name.split(".")[0]


def read() -> Iterator[Module]:
    for path in sorted([*PACKAGE.rglob("*.py"), ROOT / "app.py"]):
        parts = path.relative_to(PACKAGE if PACKAGE in path.parents else ROOT).with_suffix("").parts
        name = ".".join(part for part in parts if part != "__init__")
        yield Module(name, path, tuple(imported(ast.parse(path.read_text(encoding="utf-8")), name)))


def imported(tree: ast.AST, name: str) -> Iterator[str]:
    """Every name imported anywhere in a module, inside functions too, except where only the type checker looks."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name}: imports are written out from `sitemap`"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@cache
def modules() -> dict[str, Module]:
    """Read at the first asking, so that only the worker that runs these tests takes the time."""
    return {module.name: module for module in read()}


def own(module: Module) -> Iterator[str]:
    """The modules of ours it imports, by their names below `sitemap`."""
    for name in module.imports:
        if name == "sitemap" or name.startswith("sitemap."):
            parts = name.split(".")[1:]
            while parts and ".".join(parts) not in modules():
                parts.pop()
            yield ".".join(parts)


def within(name: str, places: tuple[str, ...]) -> bool:
    return any(name == place or name.startswith(place + ".") for place in places)


def test_law_every_module_stands_on_a_floor() -> None:
    assert {module.room for module in modules().values()} - {"", "app"} <= set(FLOOR_OF)


def test_law_imports_only_go_down() -> None:
    wrong = [
        f"{module.name} → {target}"
        for module in modules().values()
        if module.name not in ("", "app")
        for target in own(module)
        if target and not _may(module.room, target.split(".")[0])
    ]
    assert wrong == []


def test_law_formulas_read_no_site() -> None:
    wrong = [
        f"{module.name} → {target}"
        for module in modules().values()
        if module.room in FORMULA_ROOMS and not module.name.endswith(APPLIES)
        for target in own(module)
        if target.split(".")[0] == "site"
    ]
    assert wrong == []


TYPED_ROOMS = ("slash", "hydraulics", "kiln", "safety", "season", "water", "ranges")


def test_law_a_formula_takes_numbers_not_anything() -> None:
    """`Numbers`, `Array` and `ArrayLike` say what a formula takes; `Any` would take a text."""
    loose = [
        module.name
        for module in modules().values()
        if module.room in TYPED_ROOMS and not module.name.endswith(APPLIES) and "typing.Any" in module.imports
    ]
    assert loose == []


TELLS = {"text", "rounded", "compared", "range_text", "unit_label", "to_display"}  # of units: for people
CALCULATES = (
    *("assessment", "day", "between", "water", "kiln", "slash", "safety", "season", "terrain", "hydraulics"),
    *("siting", "geodesy"),
)
WORDS = {  # a text of a table, for pages; what the command line prints
    *{("safety.rules", "condition_of"), ("siting.paper", "said")},
    *{("siting.paper", "place_text"), ("siting.paper", "place_json")},
}


def test_law_no_calculation_knows_a_system_of_units() -> None:
    """What is found is told once, at the end, in the units of whoever reads it (`telling`)."""
    knows = []
    for module in modules().values():
        if module.room not in CALCULATES:
            continue
        knows += [f"{module.name} → {name}" for name in module.imports if name in {f"sitemap.units.{t}" for t in TELLS}]
        for node in ast.walk(ast.parse(module.path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.name != "told" and (module.name, node.name) not in WORDS:
                named = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
                knows += [f"{module.name}.{node.name}" for one in named if one.arg in ("system", "units")]
    assert knows == []


def _may(room: str, target: str) -> bool:
    """A room may import itself, every floor below its own, and on the lowest floor its neighbours."""
    if not {room, target} <= set(FLOOR_OF):
        return True  # a room on no floor is named by the law above
    here, there = FLOOR_OF[room], FLOOR_OF[target]
    return room == target or there > here or here == there == GROUND_FLOOR


@pytest.mark.parametrize(
    ("room", "target", "may"),
    [
        *[("water", "terrain", True), ("plan", "maps", True), ("views", "errors", True), ("ranges", "errors", True)],
        *[("water", "kiln", False), ("terrain", "water", False), ("site", "terrain", False), ("maps", "plan", False)],
    ],
)
def test_law_the_floors_are_meant_so(room: str, target: str, may: bool) -> None:
    assert _may(room, target) is may
    assert _may(room, room)


def test_law_there_is_no_cycle() -> None:
    graph = {name: {target for target in own(module) if target != name} for name, module in modules().items()}
    for name in graph:
        parent = name.rpartition(".")[0]
        graph[name].discard(parent)  # a module's own package is always there before it
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as cycle:
        pytest.fail(" → ".join(cycle.args[1]))


@pytest.mark.parametrize("library", HEAVY)
def test_law_heavy_libraries_stay_in_their_rooms(library: str) -> None:
    users = {module.name for module in modules().values() for name in module.imports if name.split(".")[0] == library}
    assert {name for name in users if not within(name, HEAVY[library])} == set()


def test_law_tests_and_samples_are_no_part_of_the_program() -> None:
    outside = (
        "tests",
        "pytest",
        "hypothesis",
        "playwright",
        "sample_sites",
        "geographiclib",
        "wntr",
        "fluids",
    )
    assert [
        f"{m.name} → {name}" for m in modules().values() for name in m.imports if name.split(".")[0] in outside
    ] == []


def loaded_after(code: str, heavy: list[str]) -> list[list[str]]:
    """In a process of its own: which of the heavy libraries are there after each line, through whatever else."""
    lines = [f"{line}; print([n for n in {heavy} if n in sys.modules], file=sys.stderr)" for line in code.splitlines()]
    code = "import sys\n" + "\n".join(lines)
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return [ast.literal_eval(line) for line in run.stderr.splitlines()]


def test_law_the_core_runs_without_page_map_and_figures() -> None:
    heavy = ["streamlit", "folium", "branca", "matplotlib", "typst", "geopandas", "pyogrio", "rasterio"]
    code = "import sitemap.site.check\nimport sitemap.site.store\nimport sitemap.assessment"
    assert loaded_after(code, heavy) == [[]] * 3


def test_law_the_command_line_loads_what_a_verb_needs() -> None:
    """A verb on a site, whole: nothing that draws, sets type, models JSON, optimises or shares work out comes along; a
    name in letters that are not ASCII is looked up in the fonts without it."""
    heavy = ["streamlit", "folium", "matplotlib", "typst", "geopandas", "pandas", "pyogrio", "PIL", "altair"]
    heavy += ["pydantic", "sqlalchemy", "distributed", "concurrent.futures.process", "scipy.optimize", "pygeodesy"]
    heavy += ["icalendar", "gpxpy", "sitemap.plan.pdf", "sitemap.views"]
    verbs = [f"main(['{verb}', 'sample_sites/juniper_bench.geojson'])" for verb in ("assess", "check")]
    assert loaded_after("\n".join(["from sitemap.__main__ import main", *verbs]), heavy) == [[]] * 3


@cache
def imported_at_once(name: str) -> tuple[str, ...]:
    """What a module imports at its top, not in a function and not for the type checker alone."""
    top = ast.parse(modules()[name].path.read_text(encoding="utf-8")).body
    return tuple(each for node in top if isinstance(node, ast.Import | ast.ImportFrom) for each in imported(node, name))


def at_once(name: str) -> Iterator[str]:
    """The modules of ours that are loaded with one, and its packages."""
    yield from own(replace(modules()[name], imports=imported_at_once(name)))
    parts = name.split(".")
    yield from (".".join(parts[:number]) for number in range(1, len(parts)))


def test_law_the_first_page_loads_neither_papers_nor_readers_of_files() -> None:
    """Whoever opens the app waits for what the map page loads; what a press needs is loaded at the press."""
    seen: set[str] = set()
    left = ["app", "views.pages.map", "views.files", "views.sharing.panel", "views.inputs.forms"]
    while left:
        name = left.pop()
        seen.add(name)
        left += [each for each in at_once(name) if each and each not in seen]
    assert {"views.map.panel", "maps.draw", "assessment"} <= seen
    late = ("plan", "many", "site.imports", "siting.explain", "siting.propose")
    assert sorted(name for name in seen if within(name, late)) == []
    brought = {found.split(".")[0] for name in seen for found in imported_at_once(name)}
    assert brought & {"pygeodesy", "icalendar", "gpxpy", "PIL", "geopandas", "altair", "typst", "contourpy"} == set()


def test_law_every_core_module_runs_without_page_map_and_figures() -> None:
    """All modules below maps in one process; each can be imported by itself as the floors and the law above say."""
    names = [f"sitemap.{m.name}" for m in modules().values() if FLOOR_OF.get(m.room, 0) > FLOOR_OF["maps"]]
    code = f"import importlib, sys\nfor name in {names}: importlib.import_module(name)\n"
    code += (
        "print([n for n in ('streamlit', 'folium', 'branca', 'matplotlib', 'typst', 'geopandas') if n in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (run.stdout.strip(), run.stderr) == ("[]", "")


def test_law_no_module_is_longer_than_it_reads_well() -> None:
    folders = (ROOT / "tests", ROOT / "sample_sites")
    files = [*(m.path for m in modules().values()), *(path for each in folders for path in each.rglob("*.py"))]
    lengths = {str(f.relative_to(ROOT)): len(f.read_text(encoding="utf-8").splitlines()) for f in files}
    assert {name: length for name, length in lengths.items() if length > LONGEST} == {}
