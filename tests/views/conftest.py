"""The pages without a browser: Streamlit's own test runner, with a data folder of its own for each test."""

from __future__ import annotations

import html
import pickle
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from streamlit.components.v2 import manifest_scanner
from streamlit.elements.lib.mutable_expander_container import ExpanderContainer
from streamlit.runtime.scriptrunner.script_cache import ScriptCache
from streamlit.runtime.state import SessionState
from streamlit.testing.v1 import AppTest, local_script_runner
from streamlit.testing.v1.local_script_runner import LocalScriptRunner

from sitemap.errors import PitsteadError
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.views import files, state, working

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted(path.stem for path in (ROOT / "sitemap" / "views" / "pages").glob("*.py") if path.stem != "__init__")
SAMPLES = sorted(path.stem for path in (ROOT / "sample_sites").glob("*.geojson"))
PATIENCE_S = 120


class Visit:
    """One tab of the app."""

    def __init__(self, link: str | None = None) -> None:
        self._app, self._shown = AppTest.from_file(str(ROOT / "app.py"), default_timeout=PATIENCE_S), False
        if link is not None:
            self._app.query_params["site"] = link

    @property
    def app(self) -> AppTest:
        """What it shows: the map, where no other page was opened at once."""
        if not self._shown:
            self._shown = True
            self._app.run()
        return self._app

    def go(self, page: str) -> Visit:
        """Open a page of the menu; in a new tab by its own address, without the map before it."""
        self._shown = True
        self._app.switch_page(f"sitemap/views/pages/{page}.py").run()
        return self

    @property
    def link(self) -> str:
        """The link in the address."""
        held = self.app.query_params["site"]
        return held if isinstance(held, str) else held[0]

    @property
    def site(self) -> Site:
        """The site as the store keeps it."""
        return store().open(self.link).site

    @property
    def words(self) -> str:
        """All a person reads, as one text."""
        parts = [
            str(element.value)
            for kind in ("markdown", "caption", "info", "warning", "error", "success")
            for element in self.app.get(kind)
        ]
        parts += [html.unescape(re.sub(r"<[^>]*>", " ", each.proto.body)) for each in self.app.get("html")]
        parts += [button.label for button in self.app.button] + [each.label for each in self.app.expander]
        return " ".join(" ".join(parts).replace("\\", "").split())

    def choose(self, feature_id: str) -> Visit:
        """Open one thing in the panel."""
        self.app.selectbox(key="panel.choice").set_value(feature_id).run()
        return self


def store() -> Store:
    """The store the app of this test keeps in."""
    return state.store()


@contextmanager
def fresh_data(folder: Path) -> Iterator[None]:
    """A data folder of its own; a fault of the program fails the test instead of becoming a sentence."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PITSTEAD_DATA", str(folder))
        patch.setenv("PITSTEAD_RAISE", "1")
        yield


class Seen(Mapping[str, Any]):
    """What a tab remembers, by the names a page sees it under: each value is taken when it is asked for."""

    def __init__(self, state: SessionState, whole: Callable[[SessionState], dict[str, Any]]) -> None:
        self._state, self._whole = state, whole

    def __getitem__(self, key: str) -> Any:
        return self._state[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole(self._state))

    def __len__(self) -> int:
        return len(self._whole(self._state))


@pytest.fixture(scope="session", autouse=True)
def looked_once() -> Iterator[None]:
    """Streamlit's test runner looks through all packages of the machine for page components, for every tab anew; and
    Streamlit lists all that a tab remembers for every field of it, to look up one. Each run compiles its pages anew,
    and while it runs all that it sent is looked through for its end, every millisecond."""
    listed, compiled = SessionState.filtered_state.fget, ScriptCache().get_bytecode
    asked = local_script_runner.require_widgets_deltas

    def waited(run: LocalScriptRunner, patience_s: float) -> None:
        run._script_thread.join(patience_s)
        asked(run, patience_s)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(SessionState, "filtered_state", property(lambda state: Seen(state, listed)))
        patch.setattr(ScriptCache, "get_bytecode", lambda _, path: compiled(path))
        patch.setattr(local_script_runner, "require_widgets_deltas", waited)
        patch.setattr(manifest_scanner, "scan_component_manifests", list)  # the app has none of that kind
        yield


@pytest.fixture(scope="session", autouse=True)
def own_folds() -> Iterator[None]:
    """All folds of a page stand open, as its tests ask for what stands in them; how one opens is asked in a browser."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ExpanderContainer, "open", property(lambda *_: True, lambda *_: None))
        yield


@pytest.fixture(autouse=True)
def own_side_shut(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """What opens and saves a site is folded away, as on every page at first: open, each run lists the kept sites and
    assesses the site for it. Open it stands for tests that use `own_side_open`, among them every page of
    `test_pages.py`."""
    if "own_side_open" not in request.fixturenames:
        monkeypatch.setattr(files, "fold", lambda *_: None)


@pytest.fixture
def own_side_open() -> None:
    """What opens and saves a site stands open at the side of each page."""


@pytest.fixture(autouse=True)
def own_data(tmp_path: Path) -> Iterator[None]:
    """Each test keeps its sites for itself."""
    with fresh_data(tmp_path):
        yield


class Here:
    """Work that is done at once and in this process, in place of `sitemap.apart.Work`; all is pickled as there."""

    begun = True

    def __init__(self, function: Callable[..., Any], *args: Any, tells: bool = False) -> None:
        self.last: tuple[Any, ...] = ()
        self._told: PitsteadError | None = None
        more = {"progress": lambda *words: setattr(self, "last", words)} if tells else {}
        try:
            self._result = pickle.dumps(function(*pickle.loads(pickle.dumps(args)), **more))
        except PitsteadError as error:
            self._told = error

    def over(self, within_s: float = 0.0) -> bool:
        """It is."""
        return within_s >= 0

    def stop(self) -> None:
        """There is nothing to stop."""

    def result(self) -> Any:
        """What came of it."""
        if self._told is not None:
            raise self._told
        return pickle.loads(self._result)


@pytest.fixture(autouse=True)
def own_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Heavy work is done at once; that it is done apart is held by `test_working.py` and the browser tests."""
    monkeypatch.setattr(working, "Work", Here)


@pytest.fixture
def visit() -> Callable[..., Visit]:
    """Open the app: `visit()` as a first visit, `visit(link)` on a kept site; shown when first looked at."""
    return Visit
