"""Finding a kind by the word in a document, without any code naming a kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from quincunx.features._base import Feature

_KINDS: dict[str, type[Feature]] = {}


def kind_id(kind: type[Feature]) -> str:
    """Return the word a kind is stored under."""
    return str(kind.model_fields["kind"].default)


def register(kinds: tuple[type[Feature], ...]) -> None:
    """Make ``kinds`` known; ValueError if two share an id."""
    for kind in kinds:
        word = kind_id(kind)
        if _KINDS.get(word, kind) is not kind:
            raise ValueError(f"two kinds are called {word!r}: {_KINDS[word].__name__} and {kind.__name__}")
        _KINDS[word] = kind


def kinds() -> Mapping[str, type[Feature]]:
    """Return every known kind by its word."""
    return dict(_KINDS)


def feature_from(data: Mapping[str, Any], feature_id: str, context: Mapping[str, Any] | None = None) -> Feature:
    """Return the feature that ``data`` describes, under another id; KeyError if its kind is unknown."""
    word = data.get("kind")
    if not isinstance(word, str) or word not in _KINDS:
        raise KeyError(word)
    merged = {**data, "id": feature_id}
    return _KINDS[word].model_validate(merged, context=dict(context or {}))
