"""What is really installed in a Python, held against what is wanted: versions, files, and all that each package needs.

The Python that is asked about runs this file: ``python -I installed.py "numpy>=2.0" …`` prints a line for each
requirement that is not met.  What an installer reports about itself is not looked at.
"""

import sys
from importlib.metadata import PackageNotFoundError, distribution

try:
    from packaging.requirements import Requirement
except ImportError:
    try:
        from pip._vendor.packaging.requirements import Requirement
    except ImportError:
        Requirement = None


def lacking(wanted):
    """Which of the requirements (PEP 508), or of those of the packages they bring, are not met: a list of words."""
    if Requirement is None:  # every environment that has the packages has this one, too
        return list(wanted)
    found, seen = [], set()
    waiting = [asked for asked in map(Requirement, wanted) if _applies(asked, ())]
    while waiting:
        asked = waiting.pop(0)
        if str(asked) in seen:
            continue
        seen.add(str(asked))
        words = "%s%s" % (asked.name, asked.specifier)
        try:
            there = distribution(asked.name)
        except PackageNotFoundError:
            found.append(words)
            continue
        if not there.version or not asked.specifier.contains(there.version, prereleases=True):
            found.append("%s (there is %s)" % (words, there.version))
        elif not _whole(there):
            found.append("%s (files are missing)" % words)
        needed = map(Requirement, there.requires or [])
        waiting += [need for need in needed if _applies(need, asked.extras)]
    return found


def _applies(asked, extras):
    """Does the requirement hold on this Python and system, for these extras?"""
    return asked.marker is None or any(asked.marker.evaluate({"extra": extra}) for extra in {"", *extras})


def _whole(there):
    """Are the package's modules still where its record says?"""
    files = [line.rsplit(",", 2)[0] for line in (there.read_text("RECORD") or "").splitlines()]
    return all(there.locate_file(file).exists() for file in files if file.endswith("__init__.py"))


if __name__ == "__main__":
    for words in lacking(sys.argv[1:]):
        print(words)
