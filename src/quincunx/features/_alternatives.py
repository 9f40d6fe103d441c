"""What else a feature could be made of: each choice of the fields its kind says are worth weighing."""

from __future__ import annotations

from collections.abc import Iterator
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import ValidationError

from quincunx.features._base import Feature


def alternatives(feature: Feature) -> Iterator[tuple[str, str, Feature]]:
    """Yield (id, words, feature) of the feature as it is, then with each other choice of what is worth weighing."""
    yield "as-drawn", _as_is(feature), feature
    for name in feature.weighed:
        for choice in choices(type(feature), name):
            other = None if choice == getattr(feature, name) else _other(feature, name, choice)
            if other is not None:
                yield f"{name}-{choice}", _said(type(feature), name, choice), other
    yield from feature.also_weighed()


def _other(feature: Feature, name: str, choice: Any) -> Feature | None:
    """Return the feature with another choice in one field; None where its other fields don't allow that."""
    fields = {n: getattr(feature, n) for n in type(feature).model_fields}
    try:
        return type(feature).model_validate(fields | {name: choice})
    except ValidationError:
        return None


def choices(kind: type[Feature], name: str) -> tuple[Any, ...]:
    """Return the words one may choose among in a field."""
    return tuple(_literals(kind.model_fields[name].annotation))


def _literals(annotation: Any) -> Iterator[Any]:
    if get_origin(annotation) is Literal:
        yield from get_args(annotation)
    elif get_origin(annotation) in (Union, UnionType):
        for part in get_args(annotation):
            yield from _literals(part)


def _as_is(feature: Feature) -> str:
    said = [_said(type(feature), n, getattr(feature, n)) for n in feature.weighed]
    return ", ".join(said) if said else "as drawn"


def _said(kind: type[Feature], name: str, choice: Any) -> str:
    title = str(kind.model_fields[name].title or name)
    return HOW.get(str(choice)) or f"{title[:1].lower()}{title[1:]}: {choice}"


HOW = {"made": "made by yourself", "kit": "bought as a kit", "hired": "built by hired hands"}
