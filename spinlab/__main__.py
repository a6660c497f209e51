"""spinlab from a shell: ``python3 -m spinlab`` (Windows: ``py -m spinlab``).  Sets up what it needs, then starts."""

import sys

from . import bootstrap


def main():
    """Check this Python first, with words that even an old one can say; then go on to the commands."""
    try:
        bootstrap.check_python()
    except bootstrap.Trouble as trouble:
        sys.stderr.write("spinlab: %s\n" % trouble)
        return 2
    from .shell import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
