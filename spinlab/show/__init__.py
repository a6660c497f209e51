"""What people see: pictures, panels, sheets.  The only room that knows matplotlib and ipywidgets.

Its modules load when first used (``from spinlab import show; show.panel``).
"""


def __getattr__(name):
    from importlib import import_module

    if name.startswith("_"):
        raise AttributeError(name)
    try:
        return import_module("." + name, __name__)
    except ModuleNotFoundError as error:
        if error.name == __name__ + "." + name:
            raise AttributeError("spinlab.show has no module '%s'" % name) from None
        raise
