"""spinlab: why pitch shots spin, measured, explained and handed on.

Light to import: the public names load what they need when they are first used.
"""

_HOMES = {
    "records": "Ball Grooves Face Between Assumptions Delivery Launch Air Path Green Rest Shot",
    "physics.contact": "strike",
    "physics.flight": "fly",
    "physics.green": "land",
    "physics.shot": "play",
}
_WHERE = {name: module for module, names in _HOMES.items() for name in names.split()}
_ROOMS = ("units", "records", "physics", "evidence", "show")
__all__ = [*_WHERE, *_ROOMS]
__version__ = "0.1.0"


def __getattr__(name):
    from importlib import import_module

    if name in _WHERE:
        return getattr(import_module("." + _WHERE[name], __name__), name)
    if name in _ROOMS:
        return import_module("." + name, __name__)
    raise AttributeError("module 'spinlab' has no attribute '%s'" % name)


def __dir__():
    return sorted([*__all__, "__version__"])
