"""The door of what is shared on the home network: a pass phrase, slow after a wrong one, shut after five, open for a while."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from time import monotonic
from typing import Literal

_LIST = """
acorn alder amber apple arrow aspen badger barley basin beacon beech berry birch bramble brick bridge bucket butter
candle canvas carrot cellar chalk cherry cider cinder clover cobble copper corner cotton cradle crumb daisy dapple
denim dovetail drum ember fable falcon feather fennel ferry fiddle finch flint flour fox furrow gable garlic ginger
gravel hammer harbour hazel heather heron hinge honey hornet indigo ivory jacket juniper kettle kindle ladder lantern
larch lemon linen lobster maple marble meadow medlar mellow mill minnow mortar mustard nettle nutmeg oatmeal olive
onion orchard otter oxlip paddle parsnip pebble pepper piper plover plum pocket poplar puddle quarry quilt radish
raven ribbon river robin rudder saddle saffron salmon sandal sickle skillet slate sorrel sparrow spindle spruce
sugar swallow tallow tamarind teasel thimble thistle timber trowel tulip turnip velvet walnut willow
"""
WORDS = tuple(_LIST.split())
"""Plain words that are read out over a garden without being spelt."""
PHRASE_WORDS = 4
MOST_WRONG = 5
WAITS_S = (2.0, 4.0, 8.0, 16.0)
"""How long the door stays deaf after the first, second, third and fourth wrong phrase [s]."""
MOST_PHONES = 12

Entered = Literal["in", "wrong", "wait", "shut"]


def new_phrase() -> str:
    """Return a phrase nobody can guess in five tries: one of some three hundred million."""
    return " ".join(secrets.choice(WORDS) for _ in range(PHRASE_WORDS))


def plain_phrase(text: str) -> str:
    """Return a phrase as it is compared: small letters, one space between words."""
    return " ".join(text.replace("-", " ").casefold().split())


@dataclass
class Door:
    """One time of sharing: who knows the ``phrase`` gets a key; ``open_s`` after ``began`` it is over [s].

    Who comes in with ``to_help``, the other phrase, is shown no prices; there is none where it is empty.
    """

    phrase: str
    open_s: float
    now: Callable[[], float] = monotonic
    began: float = field(init=False)
    wrong: int = 0
    shut: bool = False
    to_help: str = ""
    _deaf_until: float = 0.0
    _keys: dict[str, bool] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        """Begin now."""
        self.began = self.now()

    @property
    def left_s(self) -> float:
        """Return how long it stays open [s]; 0 once it is over or shut."""
        return 0.0 if self.shut else max(0.0, self.began + self.open_s - self.now())

    @property
    def phones(self) -> int:
        """Return how many phones have come in."""
        return len(self._keys)

    @property
    def with_prices(self) -> int:
        """Return how many of them are shown prices."""
        return sum(self._keys.values())

    def take_prices(self) -> None:
        """Show prices to none of the phones that are in, and to nobody before they enter a new phrase for that."""
        with self._lock:
            self.phrase = new_phrase()
            self._keys = dict.fromkeys(self._keys, False)

    def enter(self, given: str, before: str | None = None) -> tuple[Entered, str]:
        """Try a phrase: what comes of it, and the key for who is in (else empty), in place of the one it had ``before``.

        While the door is deaf nothing is compared, so that trying faster gains nothing.
        """
        with self._lock:
            if self.left_s <= 0.0:
                return "shut", ""
            if self.now() < self._deaf_until:
                return "wait", ""
            known, helps = _same(given, self.phrase), bool(self.to_help) and _same(given, self.to_help)
            if known or helps:
                self._keys.pop(before or "", None)
            if (known or helps) and len(self._keys) < MOST_PHONES:
                key = secrets.token_urlsafe(32)
                self._keys[key] = known
                return "in", key
            return self._refuse(), ""

    def _refuse(self) -> Entered:
        self.wrong += 1
        if self.wrong >= MOST_WRONG:
            self.shut = True
            return "shut"
        self._deaf_until = self.now() + WAITS_S[self.wrong - 1]
        return "wrong"

    @property
    def wait_s(self) -> float:
        """Return how long it stays deaf [s]."""
        return max(0.0, self._deaf_until - self.now())

    def knows(self, key: str | None) -> bool:
        """Return whether ``key`` was given to a phone while this door is open."""
        return self._shown(key) is not None

    def shows_money(self, key: str | None) -> bool:
        """Return whether the phone that has ``key`` is shown prices: it came in with the phrase for that."""
        return self._shown(key) is True

    def _shown(self, key: str | None) -> bool | None:
        if key is None or self.left_s <= 0.0:
            return None
        given = key.encode()
        return next((m for known, m in list(self._keys.items()) if secrets.compare_digest(given, known.encode())), None)


def _same(given: str, phrase: str) -> bool:
    return secrets.compare_digest(plain_phrase(given).encode(), plain_phrase(phrase).encode())
