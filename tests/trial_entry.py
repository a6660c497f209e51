"""Kill a typing process at random moments, hundreds of times, and count what is found: ``python tests/trial_entry.py``.

Each trial starts a process that types shots as fast as it can and tells each one after it is confirmed.  It is killed (as by
``kill -9``) at a seeded moment; some trials also tear the last bytes off, as a pulled plug may.  Then the session is opened
again: every confirmed shot must be there, nothing half-written may be counted, and typing must go on.
"""

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

TYPIST = """
import sys
sys.path.insert(0, {root!r})
from spinlab.evidence.journal import Field, Journal, new_path
fields = [Field.of(name) for name in ("condition", "head_speed", "spin_rate", "carry", "note")]
for round in range(10_000):
    journal = Journal.create(new_path({folder!r}, "trial"), fields=fields, conditions=("dry", "wet"))
    print("began", journal.path, flush=True)
    for k in range(1, 9):
        cells = dict(condition=("dry", "wet")[k % 2], head_speed="20", spin_rate=str(3000 + k), note="ß" * (k % 7))
        journal.write("shot", cells=cells)
        print(k, flush=True)
        if k % 3 == 0:
            journal.write("correct", shot=k, cells=cells)
"""


def typist(folder):
    """Start one."""
    code = TYPIST.format(root=str(HERE.parent), folder=str(folder))
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)


def trial(seed, folder) -> dict[str, int]:
    """One process, killed; how many shots were confirmed, found and lost, and what else was left."""
    from spinlab.evidence.journal import Journal, sessions

    chance = random.Random(seed)
    process = typist(folder)
    told = [process.stdout.readline()]  # the first session has begun
    for _ in range(chance.randrange(0, 40)):
        told.append(process.stdout.readline())
    time.sleep(chance.random() * 0.004)
    process.kill()
    told += process.stdout.read().split(b"\n")[:-1]  # what stands behind the last line end was not told in full
    process.wait()
    confirmed, path = {}, None
    for line in (raw.decode("utf-8").strip() for raw in told):
        if line.startswith("began "):
            path = line[len("began "):]
            confirmed[path] = 0
        elif line:
            confirmed[path] = int(line)
    extra = 0
    if chance.random() < 0.3:  # half a line that never got whole, as after a power cut
        last = Path(path)
        content = last.read_bytes()
        with open(last, "ab") as file:
            file.write(content.splitlines()[-1][: chance.randrange(1, 30)])
    found = lost = halves = 0
    for path in sessions(folder):
        journal = Journal.open(path)  # a file under its final name always opens
        wanted = confirmed.get(str(path), 0)
        shots = journal.shots
        here = sum(1 for k in range(1, wanted + 1) if k in shots and shots[k].cells["spin_rate"] == str(3000 + k))
        found, lost, extra = found + here, lost + wanted - here, extra + len(shots) - here
        before = len(shots)
        journal.write("shot", cells={"condition": "dry", "spin_rate": "1234"})
        again = Journal.open(path)
        halves += len(again.shots) != before + 1
    halves += sum(name.endswith(".journal") and os.path.getsize(Path(folder) / name) == 0 for name in os.listdir(folder))
    return {"confirmed": sum(confirmed.values()), "found": found, "lost": lost, "not confirmed but kept": extra,
            "half files": halves}


def main(trials, seed):
    """Run them and print the sums."""
    sums = {}
    for k in range(trials):
        with tempfile.TemporaryDirectory() as folder:
            for name, count in trial(seed + k, folder).items():
                sums[name] = sums.get(name, 0) + count
    told = ", ".join(f"{count} {'' if name == 'half files' else 'shots '}{name}" for name, count in sums.items())
    print(f"{trials} trials (seeds {seed} … {seed + trials - 1}): {told}")
    return 1 if sums["lost"] or sums["half files"] else 0


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--trials", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    sys.exit(main(**vars(asked.parse_args())))
