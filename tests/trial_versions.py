"""The oldest allowed packages, and the newest: ``python tests/trial_versions.py`` (needs network).

For each an environment is made in a temporary folder, the project installed into it with exactly the oldest version that the
project file allows of each package (or the newest there is), and the tests are run there, those in a browser left out.  The
Python is the one this is started with.  ``python tests/trial_versions.py newest tests/test_contact.py`` runs one of the two
and hands what follows to pytest.
"""

import platform
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NO_BROWSER = ("tests", "notebooks", "--ignore-glob=*/test_browser*.py")
SHOWN = ("numpy", "scipy", "matplotlib", "pandas", "jupyterlab", "voila")


def constraints(which) -> str:
    """Lines for pip: each requirement at its oldest, or nothing."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    return "\n".join(text.replace(">=", "==") for text in asked if which == "oldest")


def installed(which, room):
    """An environment with these packages: its Python, or None if they cannot be fetched."""
    (Path(room) / "constraints.txt").write_text(constraints(which), encoding="utf-8")
    subprocess.run([sys.executable, "-m", "venv", f"{room}/env"], check=True)
    python = next(path for path in (Path(room, "env/bin/python"), Path(room, "env/Scripts/python.exe")) if path.exists())
    install = [python, "-m", "pip", "install", "-q", "-c", f"{room}/constraints.txt", "-e", f"{ROOT}[test]"]
    done = subprocess.run(install, capture_output=True, encoding="utf-8", errors="replace")
    if done.returncode == 0:
        return python
    if "ResolutionImpossible" in done.stderr:
        raise SystemExit(f"the {which} allowed packages do not go together:\n{done.stderr[-2000:]}")
    return None


def tested(which, options=()):
    """Install and test; what pytest's last lines say and whether all was well, or None where nothing could be fetched."""
    with tempfile.TemporaryDirectory() as room:
        python = installed(which, room)
        if python is None:
            return None
        asked = f"from importlib.metadata import version as v; print(', '.join(f'{{n}} {{v(n)}}' for n in {SHOWN}))"
        names = subprocess.run([python, "-c", asked], capture_output=True, encoding="utf-8", check=True).stdout.strip()
        command = [python, "-m", "pytest", "-p", "no:cacheprovider", *(options or NO_BROWSER)]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", errors="replace")
        told = re.findall(r"^(?:FAILED|ERROR) .*|^.*\d (?:passed|failed|error).*$", done.stdout, flags=re.M)
        return f"{which} packages ({names}): " + "\n".join(told or [done.stdout[-2000:]]), done.returncode == 0


def main(which=None, *options) -> int:
    """Both or one of them; 1 if a test failed."""
    good = True
    print(f"Python {platform.python_version()}", flush=True)
    for one in [which] if which else ["oldest", "newest"]:
        told, held = tested(one, options) or (f"{one} packages: skipped, they could not be fetched", True)
        good &= held
        print(told, flush=True)
    return int(not good)


if __name__ == "__main__":
    if sys.argv[1:2] not in ([], ["oldest"], ["newest"]):
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
