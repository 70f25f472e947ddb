"""Changes to the bytes of a file, and to the values of a JSON document, by a random generator."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from random import Random
from typing import Any

_STRANGE: tuple[Any, ...] = (
    None, True, -1, 0, 3, 1.5, 1e308, -1e308, 5e-324, 10**400, float("nan"), float("inf"),
    "", "x", "\0", "\u202e", "1e400 t/h", [], {}, [None], [[]], {"": 0},
)  # fmt: skip
_DEEP = 3000  # levels of nesting

Path_ = tuple[str | int, ...]


def altered_bytes(whole: bytes, random: Random) -> bytes:
    """The bytes after one change that is not nothing: cut, damaged, doubled, or another content."""
    while True:
        found = _changed(whole, random)
        if found != whole:
            return found


def _changed(whole: bytes, random: Random) -> bytes:
    start, end = sorted(random.choices(range(len(whole) + 1), k=2))
    byte = bytes([random.randrange(256)])
    return random.choice(
        (
            lambda: whole[:start],
            lambda: whole[start:],
            lambda: whole[:start] + byte + whole[start + 1 :],
            lambda: whole[:start] + byte + whole[start:],
            lambda: whole[:start] + whole[end:],
            lambda: whole[:end] + whole[start:],
            lambda: whole[:start] + bytes(end - start) + whole[end:],
            lambda: _digit_changed(whole, random),
            lambda: random.choice((b"", b"\n", b"{}", b"[]", b"null", b"\xff\xfe", b"[" * _DEEP)),
        )
    )()


def _digit_changed(whole: bytes, random: Random) -> bytes:
    places = [at for at, byte in enumerate(whole) if 48 <= byte <= 57]
    at = random.choice(places) if places else 0
    return whole[:at] + b"%d" % random.randrange(10) + whole[at + 1 :]


def altered_document(text: str, random: Random) -> str:
    """A JSON text after one to three changes of its values."""
    content = json.loads(text)
    for _ in range(random.choice((1, 1, 2, 3))):
        _alter(content, random)
    return json.dumps(content)


def _alter(content: Any, random: Random) -> None:
    places = [place for place in _places(content) if place]
    if not places:
        return
    *above, last = random.choice(places)
    holder = _at(content, tuple(above))
    value = holder[last]
    match random.randrange(7):
        case 0:
            del holder[last]
        case 1 if isinstance(value, int | float) and not isinstance(value, bool):
            holder[last] = value * random.choice((-1, 0, 1e-300, 1e6, 1e300))
        case 2 if isinstance(value, list) and value:
            value.append(copy.deepcopy(random.choice(value)))
        case 3 if isinstance(value, list) and value:
            value.pop(random.randrange(len(value)))
        case 4:
            holder[last] = copy.deepcopy(_at(content, random.choice(places)))
        case 5 if isinstance(holder, dict):
            holder[f"{last}_"] = holder.pop(last)
        case _:
            holder[last] = random.choice(_STRANGE)


def _places(value: Any, path: Path_ = ()) -> Iterator[Path_]:
    yield path
    inner: Iterator[tuple[str | int, Any]] = iter(())
    if isinstance(value, dict):
        inner = iter(value.items())
    elif isinstance(value, list):
        inner = iter(enumerate(value))
    for key, one in inner:
        yield from _places(one, (*path, key))


def _at(value: Any, path: Path_) -> Any:
    for key in path:
        value = value[key]
    return value
