"""JSON values that cannot be changed in place, so that a Site is a value: hashable, comparable, safe to share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


class FrozenDict(Mapping[str, Any]):
    """An immutable, hashable JSON object that keeps its order.

    Two are equal when their members are, in any order. Unlike in plain Python, true is not 1 and false is not 0: a
    remembered result must not outlive the change from one to the other.
    """

    __slots__ = ("_hash", "_items", "_strict")

    def __init__(self, items: Mapping[str, Any] | None = None) -> None:
        self._items: dict[str, Any] = {key: freeze(value) for key, value in (items or {}).items()}
        self._hash: int | None = None
        self._strict: frozenset[Any] | None = None

    def __getitem__(self, key: str) -> Any:
        return self._items[key]

    def get(self, key: str, default: Any = None) -> Any:
        """A member, or default where there is none: asked for every value of every feature, so without an error."""
        return self._items.get(key, default)

    def looked_at(self) -> Mapping[str, Any]:
        """The members, to be looked at and never changed: a plain one is asked twice as fast."""
        return self._items

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if not isinstance(other, Mapping):
            return NotImplemented
        frozen = freeze(other)
        return hash(self) == hash(frozen) and self._members() == frozen._members()

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(self._members())
        return self._hash

    def __reduce__(self) -> tuple[type[FrozenDict], tuple[dict[str, Any]]]:
        return FrozenDict, (self._items,)  # a hash holds in the process that made it

    def __repr__(self) -> str:
        return f"FrozenDict({self._items!r})"

    def put(self, /, **changes: Any) -> FrozenDict:
        """A copy with some members set; None takes a member away."""
        gone = [key for key, value in changes.items() if value is None]
        return FrozenDict({k: v for k, v in {**self._items, **changes}.items() if k not in gone})

    def _members(self) -> frozenset[Any]:
        if self._strict is None:
            self._strict = frozenset((key, _told_apart(value)) for key, value in self._items.items())
        return self._strict


def _told_apart(value: Any) -> Any:
    if isinstance(value, bool):
        return bool, value
    return tuple(_told_apart(item) for item in value) if isinstance(value, tuple) else value


_FROZEN = frozenset({str, int, float, bool, type(None), FrozenDict})


def freeze(value: Any) -> Any:
    """Objects to FrozenDict, lists to tuples, all the way down."""
    if type(value) in _FROZEN:  # nearly all there is: to ask what is a mapping costs more than all else here
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


class Hashed:
    """Remembers its hash, and leaves it behind when it goes to another process: words hash differently there."""

    @property
    def _hash(self) -> int:
        raise NotImplementedError

    def __hash__(self) -> int:
        return self._hash

    def __getstate__(self) -> dict[str, Any]:
        return {name: value for name, value in self.__dict__.items() if name != "_hash"}
