"""The units a whole page speaks: every switch turns everything that is read, and what is made later begins with them.

What has been typed stays as it was typed; live entry alone keeps the units of its columns, which are those of the paper or
the screen that is typed from.
"""

from __future__ import annotations

from weakref import WeakKeyDictionary

UNITS = ("metric", "yards")

_HEARING: WeakKeyDictionary = WeakKeyDictionary()
_now = "metric"


def units_of(name: str | None = None) -> str:
    """The units of this name, or those that are spoken now."""
    if name is None:
        return _now
    if name not in UNITS:
        raise ValueError(f"units must be one of {', '.join(UNITS)}, got {name!r}")
    return name


def hear(owner, turn) -> None:
    """``turn(owner, name)`` is called whenever the units change, for as long as the owner lives."""
    _HEARING[owner] = turn


def speak(name: str, by=None) -> None:
    """Turn everything but the one that asks."""
    global _now
    _now = units_of(name)
    for owner, turn in list(_HEARING.items()):
        if owner is not by:
            turn(owner, name)


def follow(choice) -> None:
    """Let a widget that chooses the units turn with all others, and turn them."""
    hear(choice, _turn)
    choice.observe(_turned, "value")


def _turn(choice, name):
    choice.value = name


def _turned(change):
    if change["new"] != _now:
        speak(change["new"], by=change["owner"])
