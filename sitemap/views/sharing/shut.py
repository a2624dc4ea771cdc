"""What the page framework would do by itself, kept from it: take files from whoever was not let in, and ask a server on
the net which address this computer has there."""

from __future__ import annotations

from collections.abc import Callable

from streamlit import net_util
from streamlit.runtime import exists, get_instance
from streamlit.runtime.scriptrunner import get_script_run_ctx

_inside: set[str] = set()  # sessions that were let in
_IS_ACTIVE, _EXTERNAL = "is_active_session", "get_external_ip"  # the first is asked before a file is taken


def stays_shut(let_in: bool) -> None:
    """Hear whether the session of this run was let in; no other may leave a file in the memory of this computer."""
    context = get_script_run_ctx(suppress_warning=True)
    if context is None or not exists():
        return
    (_inside.add if let_in else _inside.discard)(context.session_id)
    runtime = get_instance()
    if _IS_ACTIVE not in vars(runtime):
        setattr(runtime, _IS_ACTIVE, _only_inside(runtime.is_active_session))


def _only_inside(is_active: Callable[[str], bool]) -> Callable[[str], bool]:
    def guarded(session_id: str) -> bool:
        active = is_active(session_id)
        if not active:
            _inside.discard(session_id)
        return active and session_id in _inside

    return guarded


def asks_nobody() -> None:
    """A page of another host that knocks makes the framework look for this computer's address on the net; there is none
    that should be let in by it."""
    setattr(net_util, _EXTERNAL, _not_known)


def _not_known() -> str | None:
    return None
