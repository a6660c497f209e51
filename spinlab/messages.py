"""What a person is told of a failure: our own sentence, never one of a library."""

from __future__ import annotations

import dis
import logging

UNFORESEEN = "this could not be worked out, and the fault is the program's, not yours; what was saved is untouched"
"""What is said where something failed that nobody foresaw."""


def is_our_own(error: BaseException) -> bool:
    """Was this raised by a ``raise`` of this package, so that its words are meant for people?

    The traceback ends where an exception began.  A library's Python code ends outside the package; a function written in C
    (``float("x")``, a solver) ends in our own code, but not at a ``raise``.
    """
    last = error.__traceback__
    if last is None:
        return False
    while last.tb_next is not None:
        last = last.tb_next
    frame = last.tb_frame
    in_package = frame.f_globals.get("__name__", "").partition(".")[0] == __name__.partition(".")[0]
    return in_package and dis.opname[frame.f_code.co_code[last.tb_lasti]] == "RAISE_VARARGS"


def message_of(error: BaseException) -> str:
    """The sentence for a person.

    Our own words stay as they are.  Of the disk the operating system's reason is told.  Anything else becomes
    `UNFORESEEN`; what really happened goes to the log ``spinlab`` at level DEBUG, for developers.
    """
    if is_our_own(error):
        return str(error)
    if isinstance(error, OSError) and error.strerror:
        return f"the file or folder could not be used: {error.strerror}; choose another, or free some room"
    logging.getLogger("spinlab").debug("unforeseen", exc_info=error)
    return UNFORESEEN
