"""The oldest allowed packages, or the newest: ``python tests/trial_versions.py oldest`` (needs network).

Makes an environment in a temporary folder, installs the project from this folder with exactly the oldest version that the
project file allows of each package (or the newest there is), and runs the tests there.  What follows goes to pytest:
``python tests/trial_versions.py newest tests/test_contact.py``.  The Python is the one this is started with.
"""

import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def constraints(which) -> str:
    """Lines for pip: each requirement at its oldest, or nothing."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    return "\n".join(text.replace(">=", "==") for text in asked if which == "oldest")


def main(which, *options) -> int:
    """Install, test; pytest's exit code."""
    with tempfile.TemporaryDirectory() as room:
        (Path(room) / "constraints.txt").write_text(constraints(which), encoding="utf-8")
        subprocess.run([sys.executable, "-m", "venv", f"{room}/env"], check=True)
        python = next(path for path in (Path(room, "env/bin/python"), Path(room, "env/Scripts/python.exe")) if path.exists())
        install = [python, "-m", "pip", "install", "-q", "-c", f"{room}/constraints.txt", "-e", f"{ROOT}[test]"]
        if subprocess.call(install):
            print(f"the {which} allowed packages cannot be installed together")
            return 1
        tests = list(options) or ["tests", "--ignore=tests/test_browser.py"]
        return subprocess.call([python, "-m", "pytest", "-p", "no:cacheprovider", *tests], cwd=ROOT)


if __name__ == "__main__":
    if sys.argv[1:2] not in (["oldest"], ["newest"]):
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
