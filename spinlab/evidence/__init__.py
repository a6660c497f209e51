"""What measured shots prove and what they do not.  Knows records, units and physics.

Its modules load when first used (``from spinlab import evidence; evidence.table.read(...)``).
"""


def __getattr__(name):
    from importlib import import_module

    if name.startswith("_"):
        raise AttributeError(name)
    try:
        return import_module("." + name, __name__)
    except ModuleNotFoundError as error:
        if error.name == __name__ + "." + name:
            raise AttributeError("spinlab.evidence has no module '%s'" % name) from None
        raise
