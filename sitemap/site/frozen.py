"""JSON values that cannot be changed in place, so that a Site is a value: hashable, comparable, safe to share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


class FrozenDict(Mapping[str, Any]):
    """An immutable, hashable JSON object that keeps its order."""

    __slots__ = ("_hash", "_items")

    def __init__(self, items: Mapping[str, Any] | None = None) -> None:
        self._items: dict[str, Any] = {key: freeze(value) for key, value in (items or {}).items()}
        self._hash: int | None = None

    def __getitem__(self, key: str) -> Any:
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(frozenset(self._items.items()))
        return self._hash

    def __repr__(self) -> str:
        return f"FrozenDict({self._items!r})"

    def put(self, **changes: Any) -> FrozenDict:
        """A copy with some members set; None takes a member away."""
        return FrozenDict({k: v for k, v in {**self._items, **changes}.items() if v is not None})


def freeze(value: Any) -> Any:
    """Objects to FrozenDict, lists to tuples, all the way down."""
    if isinstance(value, FrozenDict):
        return value
    if isinstance(value, Mapping):
        return FrozenDict(value)
    if isinstance(value, list | tuple):
        return tuple(freeze(item) for item in value)
    return value


def thaw(value: Any) -> Any:
    """Back to plain dicts and lists, ready for JSON."""
    if isinstance(value, Mapping):
        return {key: thaw(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [thaw(item) for item in value]
    return value
