"""Tables of 50 MB and tables made to break a reader: how long and how much memory until they are read or refused.

``python tests/trial_sizes.py``: each in a fresh Python, whose own needs are counted, too.
"""

import argparse
import io
import subprocess
import sys
import zipfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
MB = 1_000_000
HEAD, LINE = b"condition,spin rate [rpm],carry [m]\n", b"dry,6000,45"


def bomb(inside=b"<row><c><v>1</v></c></row>", whole=1000 * MB):
    """A workbook of a few hundred kilobytes that unpacks to a gigabyte."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", "<Types/>")
        packed.writestr("xl/workbook.xml", "<workbook/>")
        with packed.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            block = inside * (MB // len(inside))
            for _ in range(whole // len(block)):
                sheet.write(block)
    return out.getvalue()


CASES = {
    "50 MB of shots": lambda: HEAD + b"dry,6000.5,45.25\n" * (50 * MB // 17),
    "450,000 lines of shots": lambda: HEAD + b"dry,6000.5,45.25\n" * 450_000,
    "140,000 shots of 40 columns": lambda: HEAD.strip() + b",x" * 37 + b"\n" + (LINE + b",1.25" * 37 + b"\n") * 140_000,
    "50 MB of 40 columns": lambda: HEAD.strip() + b",x" * 37 + b"\n" + (LINE + b",1.25" * 37 + b"\n") * (50 * MB // 197),
    "50 MB of separators": lambda: HEAD + (b"," * 400 + b"\n") * (50 * MB // 401),
    "a million columns": lambda: b",".join(b"c%d" % k for k in range(1_000_000)) + b"\n" + b"1," * 999_999 + b"1\n",
    "one cell of 50 MB": lambda: HEAD + b"dry," + b"x" * 50 * MB + b",1\n",
    "a quotation mark never closed": lambda: HEAD + b'dry,"' + b"6000,45\n" * (50 * MB // 8),
    "50 MB of quotation marks": lambda: HEAD + (b'"' * 1000 + b"\n") * (50 * MB // 1001),
    "50 MB of line ends": lambda: HEAD + b"\n" * 50 * MB,
    "50 MB of zeros": lambda: b"\0" * 50 * MB,
    "50 MB of noise": lambda: __import__("random").Random(1).randbytes(50 * MB),
    "a number of 10 MB": lambda: HEAD + b"dry," + b"9" * 10 * MB + b",1\n",
    "a workbook that unpacks to a gigabyte": bomb,
    "65 MB": lambda: HEAD + b"dry,6000.5,45.25\n" * (65 * MB // 17),
}

ONE = """
import resource, sys, time
sys.path[:0] = [{here!r}, {root!r}]
import trial_sizes
from spinlab.evidence import table
import pandas
content = trial_sizes.CASES[{name!r}]()
began = time.process_time()
try:
    read = table.read(content)
    said = "read: " + ", ".join(f"{{count:,}} {{what}}" for what, count in read.counts.items() if what != "read")
except table.TableError as why:
    said = f"refused: {{why}}"
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
print(f"{{len(content) / 1e6:.1f}} MB, {{time.process_time() - began:.1f}} s, {{peak:.0f}} MB of memory; {{said}}")
"""


def main(names=None) -> int:
    """Try each and print how it went; 1 if one ended in anything but a table or words."""
    failed = 0
    for name in names or CASES:
        code = ONE.format(here=str(HERE), root=str(HERE.parent), name=name)
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        failed += done.returncode != 0
        print(f"{name}: {done.stdout.strip() or 'FAULT ' + done.stderr.strip()[-300:]}", flush=True)
    return int(failed > 0)


if __name__ == "__main__":
    argparse.ArgumentParser(description=__doc__.splitlines()[0]).parse_args()
    sys.exit(main())
