"""Making an environment and filling it, with the standard library alone, and saying in plain words how it goes."""

import os
import re
import subprocess
import sys

LOG = ".venv.log"
"""Every line of the last installing, in the project's folder."""

_FROM_WHERE = {"PIP_" + name for name in (
    "INDEX_URL", "EXTRA_INDEX_URL", "NO_INDEX", "FIND_LINKS", "PROXY", "CERT", "CLIENT_CERT", "TRUSTED_HOST",
    "KEYRING_PROVIDER", "CONFIG_FILE", "CACHE_DIR", "NO_CACHE_DIR", "TIMEOUT", "DEFAULT_TIMEOUT", "RETRIES")}
"""Pip's settings that say where packages come from.  Others say what is installed, where to, or that nothing is."""


class Trouble(Exception):
    """What went wrong and what to do about it, in words for the person at the keyboard."""


def python_of(home, windows=os.name == "nt"):
    """Where an environment keeps its Python."""
    return home / "Scripts" / "python.exe" if windows else home / "bin" / "python"


def clean_environment(environ=None):
    """The surroundings of a child process, without what would lead it into another Python's packages, or pip to install
    something else than it is asked for."""
    odd = ("PYTHONHOME", "PYTHONPATH", "__PYVENV_LAUNCHER__")
    given = (os.environ if environ is None else environ).items()
    return {name: value for name, value in given
            if name not in odd and (not name.startswith("PIP_") or name in _FROM_WHERE)}


def make(home):
    """A virtual environment; without pip of its own where this Python cannot give it one."""
    for options in ([], ["--without-pip"]):
        command = [sys.executable, "-m", "venv", "--clear", "--prompt", "spinlab", *options, str(home)]
        done = subprocess.run(command, env=clean_environment(),
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        if done.returncode == 0:
            return
    said = done.stdout.decode("utf-8", "replace").strip().splitlines()[-1:]
    raise Trouble("This Python cannot make an environment (%s). On Debian or Ubuntu: sudo apt install python3-venv; "
                  "elsewhere install Python from python.org. Then start again." % (said or ["no reason given"])[0])


def _installer(home):
    """The pip to use: the environment's own, else this Python's, told where to install (pip 22.3 and newer can)."""
    own = [str(python_of(home)), "-m", "pip"]
    if subprocess.call([*own, "--version"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) == 0:
        return own
    done = subprocess.run([sys.executable, "-m", "pip", "--version"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    version = re.match(rb"pip (\d+)\.(\d+)", done.stdout)
    if done.returncode == 0 and version and tuple(map(int, version.groups())) >= (22, 3):
        return [sys.executable, "-m", "pip", "--python", str(python_of(home))]
    raise Trouble("This Python has no 'ensurepip' and no pip from 22.3 on. On Debian or Ubuntu: sudo apt install "
                  "python3-venv. Then start again.")


def install(root, home, what, say, patient=True):
    """Let pip install `what` into the environment `home`; `say` hears how far it is, the log keeps every line.

    Not `patient` means that an environment that works is there already: a network that does not answer is given up soon.
    """
    command = [*_installer(home), "install", "--disable-pip-version-check", "--no-input", "--progress-bar=off",
               *([] if patient else ["--retries=1", "--timeout=5"]), *what]
    tell, told = _teller(say), []
    surroundings = dict(clean_environment(), PYTHONIOENCODING="utf-8")
    with subprocess.Popen(command, cwd=str(root), env=surroundings, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as run:
        for line in run.stdout:
            told.append(line.decode("utf-8", "replace").rstrip())
            tell(told[-1])
    (root / LOG).write_text("\n".join(told), encoding="utf-8")
    if run.returncode:
        raise Trouble(_of_pip("\n".join(told), root / LOG))


def warm(root, home, say):
    """Let the engine be compiled once, so that the first start does not wait for it."""
    if (root / "spinlab" / "panels" / "warm.py").is_file():
        done = subprocess.run([str(python_of(home)), "-m", "spinlab.panels.warm"], cwd=str(root), env=clean_environment(),
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        last = (done.stdout.decode("utf-8", "replace").strip().splitlines() or ["no reason given"])[-1]
        if done.returncode:
            raise Trouble("The packages are here, but the engine cannot be compiled: %s. Start again; if it fails again, "
                          "'python3 -m spinlab doctor' helps to report it." % last)
        say(last)


def _teller(say):
    """Pip's lines → a few plain words: how many packages are here, then that they are being put in place."""
    found = set()

    def tell(line):
        if line.startswith(("Collecting ", "Processing ")) and line not in found:
            found.add(line)
            if len(found) % 40 == 0:
                say("  %d packages found so far …" % len(found))
        elif line.startswith("Installing collected packages"):
            say("  %d packages are here; putting them in place …" % (line.count(",") + 1))

    return tell


_CURES = (
    (r"No space left|Errno 28|not enough space",
     "The disk is full. Make room (about 1.5 GB), then start again."),
    (r"Read-only file system|Permission denied|Access is denied|Errno 13",
     "The folder cannot be written to. Copy the project to a folder of your own, then start again."),
    (r"CERTIFICATE_VERIFY_FAILED|SSLError",
     "The network answers, but its certificate is not trusted: a proxy, or a wrong clock. Set the clock, or ask whoever "
     "runs the network, then start again."),
    (r"NewConnectionError|ConnectionError|ConnectTimeout|Read ?[Tt]imed? ?out|ProxyError|name resolution|getaddrinfo|"
     r"No matching distribution|Could not find a version",
     "The packages could not be fetched: is the network on? Then start again."),
)


def _of_pip(told, log):
    cure = next((cure for pattern, cure in _CURES if re.search(pattern, told)), None)
    last = next((line for line in reversed(told.splitlines()) if line.strip()), "no reason given")
    return cure or "Installing failed: %s (all of it is in %s). Delete the folder .venv, then start again." % (last, log)


def of_files(error, root):
    """What the system says about a file or folder, as plain words."""
    cure = next((cure for pattern, cure in _CURES[:2] if re.search(pattern, str(error))), None)
    return cure or "Setting up in %s failed: %s." % (root, error.strerror or error)
