"""spinlab from a shell: ``python3 -m spinlab`` (Windows: ``py -m spinlab``).  Sets up what it needs, then starts."""

import codecs
import sys

from . import bootstrap

PLAIN = {"\u2212": "-", "\u2013": "-", "\u2026": "...", "\u202f": " ", "\u201c": '"', "\u201d": '"', "\u2019": "'",
         "\u00b0": " deg", "\u00b5": "u", "\u00d7": "x", "\u2192": "->", "\u00b7": "*", "\u00b1": "+-", "\u00b2": "^2",
         "\u00b3": "^3"}
"""What is written for signs that a terminal does not know: a lost minus sign would turn a result round."""


def plainly(error):
    """Write the sign that cannot be encoded in plain letters."""
    return "".join(PLAIN.get(letter, "?") for letter in error.object[error.start:error.end]), error.end


def main():
    """Check this Python first, with words that even an old one can say; then go on to the commands."""
    codecs.register_error("plainly", plainly)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="plainly")
    try:
        bootstrap.check_python()
    except bootstrap.Trouble as trouble:
        sys.stderr.write("spinlab: %s\n" % trouble)
        return 2
    from .shell import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
