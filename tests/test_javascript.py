"""The translator to JavaScript: what it refuses, and that both languages give the same numbers."""

import importlib.util
import itertools
import math
import random
import struct
import sys
import textwrap
from pathlib import Path

import javascript as js
import numpy as np
import pytest
import small_kernel

import spinlab.kernel
from spinlab.kernel import compiled, javascript

in_node = pytest.mark.skipif(js.NODE is None, reason="node is not installed")

HEAD = """
import math
from typing import NamedTuple
from spinlab.kernel.compiled import Array, kernel

LIMIT = 2.0
TEXT = "text"

class Pair(NamedTuple):
    first: float
    second: float

class Named(NamedTuple):
    new: float

def outside(x):
    return x

@kernel
def pair_of(x) -> tuple[float, float]:
    return x, x

@kernel
def half(x):
    return x / 2.0
"""


@pytest.fixture(scope="module")
def load(tmp_path_factory):
    """Makes a module of source text; the registry of the kernel is left as it was."""
    folder = tmp_path_factory.mktemp("modules")
    before = list(compiled.REGISTRY)
    count = itertools.count()

    def load(text, name=None):
        name = name or f"written_{next(count)}"
        path = folder / f"{name}.py"
        path.write_text(textwrap.dedent(text), encoding="utf-8")
        spec = importlib.util.spec_from_file_location(name, path)
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
        return module

    yield load
    compiled.REGISTRY[:] = before


@pytest.fixture
def plain(monkeypatch):
    """Nothing is compiled."""
    monkeypatch.setattr(compiled, "PLAIN", True)


REFUSED = {  # a function f, its wrong line marked; words of the refusal
    "remainder": ("def f(x):\n return x % 2.0  #!", "Mod"),
    "floor division": ("def f(x):\n return x // 2.0  #!", "FloorDiv"),
    "bits": ("def f(n: int) -> int:\n return n & 1  #!", "BitAnd"),
    "round": ("def f(x):\n return round(x)  #!", "`round` is unknown"),
    "unknown name": ("def f(x):\n y = 1.0\n return x + z  #!", "`z` is unknown"),
    "misspelt local": ("def f(x):\n speed = x\n return sped  #!", "`sped` is unknown"),
    "unknown field": (
        "def f(p: Pair):\n return p.frist  #!",
        "no field `frist`; it has first, second"),
    "field of a number": ("def f(p):\n return p.first  #!", "only a record has fields"),
    "if number": ("def f(x):\n if x:  #!\n  return 1.0\n return 2.0", "compare it"),
    "while number": ("def f(x):\n while x:  #!\n  x -= 1.0\n return x", "compare it"),
    "not number": ("def f(x) -> bool:\n return not x  #!", "compare it"),
    "and number": ("def f(x) -> bool:\n return x > 1.0 and x  #!", "compare it"),
    "choice by number": ("def f(x):\n return 1.0 if x else 2.0  #!", "compare it"),
    "sum of truths": ("def f(x):\n return (x > 1.0) + 1.0  #!", "works on numbers"),
    "sign of truth": ("def f(x):\n return -(x > 1.0)  #!", "works on numbers"),
    "plus sign": ("def f(x):\n return +x  #!", "only `-`"),
    "sign of int": ("def f(n: int) -> int:\n return -n  #!", "only of a float"),
    "bits turned": ("def f(n: int) -> int:\n return ~1  #!", "only `-`"),
    "comparison of records": ("def f(p: Pair, q: Pair) -> bool:\n return p == q  #!", "numbers"),
    "comparison of truths": ("def f(x) -> bool:\n return (x > 1.0) == True  #!", "numbers"),
    "is": ("def f(x) -> bool:\n return x is x  #!", "Is is not"),
    "in": ("def f(x) -> bool:\n return x in (1.0, 2.0)  #!", "In is not"),
    "chain with a call": ("def f(x) -> bool:\n return 0.0 < half(x) < 1.0  #!", "a name first"),
    "kind changes": (
        "def f(x):\n y = 1.0\n y = x > 1.0  #!\n return x",
        "`y` is a float and becomes"),
    "int becomes float": ("def f(x):\n y = 0\n y = x  #!\n return x", "a float from the start"),
    "float becomes int": ("def f(x):\n x = 1  #!\n return x", "`x` is a float and becomes an int"),
    "int grows to float": ("def f(x):\n n = 1\n n += 0.5  #!\n return x", "becomes a float"),
    "int result": ("def f(x):\n return 1  #!", "write 1.0"),
    "int argument": ("def f(x):\n return half(2)  #!", "write 2.0"),
    "int for math": ("def f(x):\n return math.sqrt(2)  #!", "write 2.0"),
    "int variable": ("def f(x):\n n = 1\n return half(n)  #!", "write float(…)"),
    "int in max": ("def f(x):\n return max(x, 0)  #!", "write 0.0"),
    "int in a choice": ("def f(x):\n return x if x > 0.0 else 0  #!", "write 0.0"),
    "int in a record": ("def f(x) -> Pair:\n return Pair(x, 0)  #!", "write 0.0"),
    "int in an array": ("def f(out: Array) -> None:\n out[0] = 1  #!", "write 1.0"),
    "float as index": ("def f(x, out: Array):\n return out[x]  #!", "an index must be an int"),
    "float in range": ("def f(x):\n for i in range(x):  #!\n  pass\n return x", "must be an int"),
    "negative index": ("def f(out: Array):\n return out[-1]  #!", "from the start"),
    "slice": ("def f(out: Array):\n return half(out[1:])  #!", "Slice"),
    "two indices": ("def f(out: Array):\n return out[0, 0]  #!", "Tuple"),
    "index of a number": ("def f(x):\n return x[0]  #!", "must be an array"),
    "index of a record": ("def f(p: Pair):\n return p[0]  #!", "must be an array"),
    "int power": ("def f(n: int):\n return n ** 2  #!", "`**` takes floats"),
    "power by int": ("def f(x, n: int):\n return x ** (n + 1)  #!", "`**` takes floats"),
    "large int": ("def f(x):\n return x + 9999999999  #!", "9999999999 is not"),
    "complex": ("def f(x):\n return x + 1j  #!", "1j is not"),
    "text": ("def f(x):\n y = 'text'  #!\n return x", "'text' is not"),
    "text constant": ("def f(x):\n return TEXT  #!", "is not a number"),
    "nothing": ("def f(x) -> None:\n return None  #!", "None is not"),
    "formatted text": ("def f(x):\n y = f'{x}'  #!\n return x", "JoinedStr"),
    "list": ("def f(x):\n y = [x]  #!\n return x", "List is not"),
    "comprehension": ("def f(x):\n y = [x for _ in range(2)]  #!\n return x", "ListComp"),
    "generator": ("def f(x):\n y = half(x for _ in range(2))  #!\n return x", "GeneratorExp"),
    "dict": ("def f(x):\n y = {}  #!\n return x", "Dict is not"),
    "set": ("def f(x):\n y = {x}  #!\n return x", "Set is not"),
    "lambda": ("def f(x):\n y = lambda: x  #!\n return x", "Lambda"),
    "inner function": ("def f(x):\n def g():  #!\n  pass\n return x", "FunctionDef"),
    "inner class": ("def f(x):\n class A:  #!\n  pass\n return x", "ClassDef"),
    "try": ("def f(x):\n try:  #!\n  pass\n finally:\n  pass\n return x", "Try"),
    "with": ("def f(x):\n with x:  #!\n  pass\n return x", "With"),
    "global": ("def f(x):\n global LIMIT  #!\n return x", "Global"),
    "raise": ("def f(x):\n raise ValueError  #!", "Raise"),
    "assert": ("def f(x):\n assert x > 1.0  #!\n return x", "Assert"),
    "delete": ("def f(x):\n y = x\n del y  #!\n return x", "Delete"),
    "match": ("def f(x):\n match x:  #!\n  case _:\n   pass\n return x", "Match"),
    "import": ("def f(x):\n import math  #!\n return x", "head of the module"),
    "yield": ("def f(x):\n y = yield x  #!", "Yield"),
    "walrus": ("def f(x):\n return (y := x)  #!", "NamedExpr"),
    "annotated": ("def f(x):\n y: float = x  #!\n return y", "AnnAssign"),
    "two targets": ("def f(x):\n y = z = x  #!\n return y + z", "one assignment a line"),
    "swap": ("def f(x, y):\n x, y = y, x  #!\n return x", "Tuple"),
    "tuple kept": ("def f(x):\n both = pair_of(x)  #!\n return x", "unpack a tuple"),
    "too many parts": ("def f(x):\n a, b, c = pair_of(x)  #!\n return a", "has 2 parts"),
    "parts of a number": ("def f(x):\n a, b = half(x)  #!\n return a", "has no parts"),
    "part twice": ("def f(x):\n a, a = pair_of(x)  #!\n return a", "a name of its own"),
    "part to a field": ("def f(p: Pair):\n p.first, a = pair_of(1.0)  #!\n return a", "into names"),
    "dropped part read": ("def f(x):\n a, _ = pair_of(x)\n return _  #!", "no value"),
    "field set": ("def f(p: Pair):\n p.first = 1.0  #!\n return 1.0", "a record does not change"),
    "field raised": (
        "def f(p: Pair):\n p.first += 1.0  #!\n return 1.0",
        "a record does not change"),
    "number alone": ("def f(x):\n x  #!\n return x", "not used"),
    "missing field": ("def f(x) -> Pair:\n return Pair(x)  #!", "first, second; give each once"),
    "field twice": ("def f(x) -> Pair:\n return Pair(x, x, first=x)  #!", "give each once"),
    "unknown keyword": ("def f(x) -> Pair:\n return Pair(x, last=x)  #!", "give each once"),
    "fields unpacked": ("def f(p: Pair) -> Pair:\n return Pair(**p)  #!", "give each once"),
    "too many fields": ("def f(x) -> Pair:\n return Pair(x, x, x)  #!", "give each once"),
    "field of another kind": (
        "def f(p: Pair) -> Pair:\n return Pair(p, 1.0)  #!",
        "must be a float"),
    "method": ("def f(p: Pair) -> Pair:\n return p._replace(first=1.0)  #!", "cannot be called"),
    "too few arguments": ("def f(x):\n return half()  #!", "half has 1 parts, not 0"),
    "too many arguments": ("def f(x):\n return half(x, x)  #!", "half has 1 parts, not 2"),
    "keyword": ("def f(x):\n return half(x=x)  #!", "by position"),
    "keyword for math": ("def f(x):\n return math.sqrt(x=x)  #!", "by position"),
    "star": ("def f(p: Pair):\n return half(*p)  #!", "give each one"),
    "record argument": (
        "def f(p: Pair):\n return half(p)  #!",
        "must be a float, not a record Pair"),
    "one for min": ("def f(x):\n return min(x)  #!", "min has 2 parts"),
    "abs of int": ("def f(n: int):\n return abs(n)  #!", "must be a float"),
    "float of text": ("def f(x):\n return float('1')  #!", "is not in the dialect"),
    "float of float": ("def f(x):\n return float(x)  #!", "must be an int"),
    "length of a number": ("def f(x) -> int:\n return len(x)  #!", "must be an array"),
    "range alone": ("def f(x):\n y = range(3)  #!\n return x", "stands only in"),
    "not of the kernel": ("def f(x):\n return outside(x)  #!", "decorate it with `kernel`"),
    "other builtin": ("def f(x):\n return sum(x)  #!", "`sum` is unknown"),
    "called number": ("def f(x):\n return x(1.0)  #!", "not a function of the kernel"),
    "called constant": ("def f(x):\n return LIMIT(1.0)  #!", "not a function of the kernel"),
    "called result": ("def f(x):\n return half(x)(x)  #!", "cannot be called"),
    "calls itself": ("def f(x):\n return f(x)  #!", "write a loop"),
    "other math": ("def f(x):\n return math.floor(x)  #!", "math.floor is not"),
    "math not called": ("def f(x):\n return math.sqrt  #!", "math.sqrt is not"),
    "constant called": ("def f(x):\n return math.pi(x)  #!", "math.pi is not"),
    "log to a base": ("def f(x):\n return math.log(x, 2.0)  #!", "math.log has 1 parts"),
    "math itself": ("def f(x):\n return half(math)  #!", "is not a number"),
    "function as value": ("def f(x):\n return half  #!", "is not a number"),
    "no value yet": ("def f(x):\n if x > 0.0:\n  y = x\n return y  #!", "may have no value"),
    "no value after loop": (
        "def f(x):\n for i in range(3):\n  y = x\n return y  #!", "may have no value"),
    "no value after while": (
        "def f(x):\n while x > 1.0:\n  y = x\n  x -= y\n return y  #!", "may have no value"),
    "no value after break": (
        "def f(x):\n while True:\n  if x > 1.0:\n   break\n  y = x\n  x += y\n return y  #!",
        "may have no value"),
    "no value after one of two breaks": (
        "def f(x):\n while True:\n  if x > 2.0:\n   break\n  y = x\n  if x > 1.0:\n   break\n"
        "  x += y\n return y  #!", "may have no value"),
    "raised before assigned": ("def f(x):\n y += x  #!\n return x", "may have no value"),
    "counter after loop": (
        "def f(x) -> int:\n for i in range(3):\n  pass\n return i  #!", "may have no value"),
    "counter assigned": (
        "def f(x):\n for i in range(3):\n  i += 1  #!\n return x", "counts or bounds a loop"),
    "counter assigned elsewhere": (
        "def f(x):\n i = 1  #!\n for i in range(3):\n  pass\n return x", "counts or bounds a loop"),
    "counter twice": (
        "def f(x):\n for i in range(3):\n  for i in range(3):  #!\n   pass\n return x",
        "another name"),
    "bound changes": (
        "def f(n: int):\n for i in range(n):\n  n += 1  #!\n return 1.0", "bounds a loop"),
    "bound is a call": (
        "def f(out: Array):\n for i in range(math.sqrt(4.0)):  #!\n  pass\n return 1.0",
        "must be an int"),
    "step": ("def f(x):\n for i in range(0, 6, 2):  #!\n  pass\n return x", "counts by one"),
    "range keyword": ("def f(x):\n for i in range(stop=3):  #!\n  pass\n return x", "counts"),
    "loop over an array": ("def f(out: Array):\n for x in out:  #!\n  pass\n return 1.0", "counts"),
    "loop in pairs": ("def f(x):\n for i, j in range(3):  #!\n  pass\n return x", "counts by one"),
    "for else": (
        "def f(x):\n for i in range(3):\n  pass\n else:\n  x = 1.0  #!\n return x",
        "no `else`"),
    "while else": (
        "def f(x):\n while x > 1.0:\n  x -= 1.0\n else:\n  x = 1.0  #!\n return x", "no `else`"),
    "no result": ("def f(x):  #!\n x += 1.0", "may end without a result"),
    "no result on one way": (
        "def f(x):  #!\n if x > 1.0:\n  return x", "may end without a result"),
    "bare return": ("def f(x):\n return  #!", "the result must be a float, not nothing"),
    "result for none": ("def f(x) -> None:\n return x  #!", "the result must be nothing"),
    "other record": ("def f(x) -> Named:\n return Pair(x, x)  #!", "must be a record Named"),
    "tuple not annotated": ("def f(x):\n return x, x  #!", "has 0 parts, not 2"),
    "tuple too long": (
        "def f(x) -> tuple[float, float]:\n return x, x, x  #!",
        "has 2 parts, not 3"),
    "never reached": ("def f(x):\n return x\n x += 1.0  #!", "never reached"),
    "after an endless loop": (
        "def f(x):\n while True:\n  x += 1.0\n return x  #!", "never reached"),
    "reserved name": ("def f(x):\n new = x  #!\n return new", "`new` is reserved"),
    "reserved parameter": ("def f(var):  #!\n return var", "`var` is reserved"),
    "reserved counter": (
        "def f(x):\n for let in range(3):  #!\n  pass\n return x", "`let` is reserved"),
    "name of a builtin": ("def f(x):\n min = x  #!\n return min", "`min` is reserved"),
    "name of math": ("def f(x):\n Math = x  #!\n return Math", "`Math` is reserved"),
    "default": ("def f(x=1.0):  #!\n return x", "positional"),
    "any number": ("def f(*x):  #!\n return 1.0", "positional"),
    "by keyword only": ("def f(*, x):  #!\n return x", "positional"),
    "many keywords": ("def f(**x):  #!\n return 1.0", "positional"),
    "slash": ("def f(x, /):  #!\n return x", "positional"),
    "annotation": ("def f(x: str):  #!\n return 1.0", "an annotation is not in the dialect"),
    "result annotation": (
        "def f(x) -> list:  #!\n return x",
        "an annotation is not in the dialect"),
    "tuple parameter": (
        "def f(x: tuple[float, float]):  #!\n return 1.0", "an annotation is not in the dialect"),
    "unknown annotation": ("def f(x: 'Missing'):  #!\n return 1.0", "an annotation is unknown"),
    "decorator": (
        "import functools\n@functools.cache  #!\ndef g(x):\n return x\nf = g.__wrapped__",
        "only decorator"),
    "async": ("async def f(x):  #!\n return x", "plain function"),
    "closure": (
        "def make():\n LIMIT = 3.0\n def f(x):  #!\n  return x * LIMIT\n return f\nf = make()",
        "a name of the function around it"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_refused_with_file_line_and_cure(load, plain, case):
    text, words = REFUSED[case]
    module = load(HEAD + text)
    lines = Path(module.__file__).read_text(encoding="utf-8").splitlines()
    line = next(number for number, text in enumerate(lines, 1) if text.endswith("#!"))
    with pytest.raises(javascript.NotInDialect) as refused:
        javascript.check([module.f])
    said = str(refused.value)
    assert said.startswith(f"{module.__file__}:{line}: ")
    assert words in said
    assert "; " in said, "what to write instead"
    assert isinstance(refused.value, ValueError)


def test_every_function_is_named_in_one_refusal(load, plain):
    module = load(HEAD + "@kernel\ndef g(x):\n return y\n@kernel\ndef h(x):\n return g(x) * 2.0\n"
                  "@kernel\ndef k(x):\n return z")
    with pytest.raises(javascript.NotInDialect) as refused:
        javascript.check([module.g, module.h, module.k])
    said = str(refused.value).splitlines()
    assert ["`y` is unknown" in said[0], "`z` is unknown" in said[1], len(said)] == [True, True, 2]


def test_things_without_source_are_refused():
    made = {}
    exec("def f(x):\n return x", made)
    for thing, words in ((max, "not a Python function"), (lambda x: x, "not a Python function"),
                         (made["f"], "the source of f is not there")):
        with pytest.raises(javascript.NotInDialect, match=words):
            javascript.check([thing])


def test_a_name_belongs_to_one_thing(load, plain):
    one = load(HEAD + "SIZE = 1.0\n@kernel\ndef f(x):\n return x + SIZE")
    two = load(HEAD + "SIZE = 2.0\n@kernel\ndef f(x):\n return x\n"
               "@kernel\ndef g(x):\n return x + SIZE")
    with pytest.raises(javascript.NotInDialect, match="`f` stands twice"):
        javascript.translate([one.f, two.f])
    with pytest.raises(javascript.NotInDialect, match="`SIZE` has two meanings"):
        javascript.translate([one.f, two.g])
    three = load(HEAD + f"from {one.__name__} import f as first\n"
                 "@kernel\ndef g(x):\n f = first(x)\n return f")
    with pytest.raises(javascript.NotInDialect, match="`f` is also a name in this function"):
        javascript.translate([three.g])


NUMBERS = [0.0, -0.0, 1.0, -2.5, 0.3, 1e-3, 17.25, -1e8]


def test_the_small_kernel_reads_well():
    text = javascript.translate([small_kernel.distance, small_kernel.running_mean])
    assert text == textwrap.dedent("""\
        const HALF = 0.5;

        /** Distance of two points: the root of the sum of squares. */
        export function distance(a, b) {
          return Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2);
        }

        /** Fill `out` with the mean of all values so far. */
        export function running_mean(values, out) {
          let total = 0.0;
          for (let i = 0; i < values.length; i += 1) {
            total += values[i];
            out[i] = total / (i + 1);
          }
          for (let i = 1; i < out.length; i += 1) {
            out[i] -= out[0] * HALF;
          }
          if (out.length < 2) {
            return;
          }
          out[0] = -out[0];
        }
        """)


@in_node
@pytest.mark.parametrize("home", ["plain", "compiled"])
def test_the_small_kernel_agrees(home, tmp_path):
    """Everything in the dialect; the libraries' powers and angles may differ in the last digits."""
    function = small_kernel.everything
    if home == "plain":
        function = getattr(function, "py_func", function)
    elif compiled.PLAIN:
        pytest.skip("nothing is compiled")
    cases = [(x, y, n, np.array([x, 1.5, y, -3.0]))
             for x, y, n in itertools.product(NUMBERS, NUMBERS, (0, 3))]
    calls = [("everything", (x, y, n, out.copy())) for x, y, n, out in cases]
    text = javascript.translate([small_kernel.everything])
    seen = set()
    for case, (result, [array]) in zip(cases, js.in_node(text, calls, tmp_path), strict=True):
        try:
            expected = js.plain(function(*case))
        except OverflowError:  # 2**1e8 is infinite elsewhere
            continue
        for name in ("radius", "solid", "count"):
            assert result[name] == pytest.approx(expected[name], rel=1e-13), (case, name)
        for name in ("x", "y"):
            got, want = result["centre"][name], expected["centre"][name]
            assert got == pytest.approx(want, rel=1e-12, abs=1e-12, nan_ok=True), case
        assert array == js.plain(case[3]), case
        seen.add(result["solid"])
    assert seen == {True, False}


EXPRESSIONS = [  # whose brackets matter, or whose zero has a sign; small powers are exact
    "-(-x)", "-(x + y)", "x - (y - z)", "x - -y", "x / (y / z)", "x / y * z", "x * (y + z)",
    "(x + y) * z", "-x * y", "(-x) ** 2.0", "-x ** 2.0", "(x ** 2.0) ** 3.0", "x ** 2.0 ** 3.0",
    "2.0 ** -y", "(x + y) ** 2", "x ** -2", "min(x, y)", "max(x, y)", "min(x, y, z)",
    "max(z, x, y)", "abs(x)", "min(0.0, x)", "min(-0.0, x)", "max(0.0, x)", "max(-0.0, x)",
    "(x if y > z else y) - z", "x if y > z else (y if z > x else z)",
    "(x if y > z else y) if x > z else z", "x if (y > z if x > z else y < z) else z",
    "1.0 if (x > y or y > z) and z > x else 2.0", "1.0 if x > y or y > z and z > x else 2.0",
    "1.0 if not (x > y or y > z) else 2.0", "1.0 if (not x > y) and z > x else 2.0",
    "1.0 if (x if y > z else y) > z else 2.0", "1.0 if x < y + 1.0 < z else 2.0",
    "Named(x).new - y", "Pair(x, y).second - (Pair(x, y) if x > y else Pair(y, z)).first"]


@in_node
def test_brackets_and_signs_of_zero(load, plain, tmp_path):
    source = [f"def f{k}(x, y, z):\n return {text}" for k, text in enumerate(EXPRESSIONS)]
    module = load(HEAD + "\n".join(source))
    functions = [getattr(module, f"f{k}") for k in range(len(EXPRESSIONS))]
    values = [1.0, -2.0, 4.0, 8.0]
    given = list(itertools.permutations(values, 3))
    signed = [k for k, text in enumerate(EXPRESSIONS) if "/" not in text and "**" not in text]
    calls = [(k, xyz) for k in range(len(functions)) for xyz in given]
    zeros = [0.0, -0.0, math.nan, math.inf]
    calls += [(k, xyz) for k in signed for xyz in itertools.product(zeros, repeat=3)]
    named = [(f"f{k}", xyz) for k, xyz in calls]
    answers = js.in_node(javascript.translate(functions), named, tmp_path)
    for (k, xyz), (answer, _) in zip(calls, answers, strict=True):
        assert bits(answer) == bits(functions[k](*xyz)), (EXPRESSIONS[k], xyz)


class Writer:
    """Writes random functions of the dialect, of what both languages must do to the last bit."""

    def __init__(self, seed):
        self.random = random.Random(seed)

    def number(self, names, depth=3):
        pick = self.random.random()
        if depth == 0 or pick < 0.15:
            literals = ["0.0", "1.0", "0.1", "3.0", "1e-3", "2", "1e10"]
            return self.random.choice(names * 3 + literals)
        a, b = self.number(names, depth - 1), self.number(names, depth - 1)
        if pick < 0.7:
            return f"({a} {self.random.choice('+-*')} {b})" if pick < 0.45 else f"{a} - {b} * {a}"
        if pick < 0.8:  # the divisor is NumPy's in Python, and may be zero as in JavaScript
            return f"({a} / ({self.random.choice(names)} - {b}))"
        if pick < 0.85:
            return f"-{names[0]} * ({a})"
        if pick < 0.9:
            return f"abs({names[0]} * {a})"
        if pick < 0.95:
            return f"{self.random.choice(['min', 'max'])}({names[0]} * {a}, {names[-1]} + {b})"
        return f"({names[0]} + {a} if {self.truth(names, depth - 1)} else {names[-1]} - {b})"

    def truth(self, names, depth=2):
        a, b, c = (self.number(names, depth) for _ in range(3))
        sign, other = (self.random.choice(["<", "<=", ">", ">=", "==", "!="]) for _ in range(2))
        return self.random.choice([
            f"{a} {sign} {b}", f"{a} {sign} {names[1]} {other} {c}", f"not {a} {sign} {b}",
            f"({a} {sign} {b} or {c} {other} {a})", f"({a} {sign} {b} and not {b} {other} {c})"])

    def block(self, names, indent, depth):
        lines = []
        for _ in range(self.random.randint(1, 3)):
            name = self.random.choice(names)
            pick = self.random.random()
            if pick < 0.4 or depth == 0:
                lines.append(f"{name} = {names[0]} * ({self.number(names)})")
            elif pick < 0.55:
                lines.append(f"{name} {self.random.choice('+-*')}= {self.number(names)}")
            elif pick < 0.75:
                lines += [f"if {self.truth(names)}:", *self.block(names, " ", depth - 1),
                          f"elif {self.truth(names)}:", *self.block(names, " ", depth - 1),
                          "else:", *self.block(names, " ", depth - 1)]
            elif pick < 0.9:
                counter = f"i{depth}"
                lines += [f"for {counter} in range({self.random.randint(0, 3)}):",
                          *self.block(names, " ", depth - 1),
                          f" {name} += float({counter} * 2 + 1) - {counter} / 4",
                          f" if {self.truth(names)}:",
                          f"  {self.random.choice(['break', 'continue'])}", f" {name} -= 0.5"]
            else:
                lines += [f"rounds{depth} = 0", "while True:", *self.block(names, " ", depth - 1),
                          f" rounds{depth} += 1",
                          f" if rounds{depth} > 3 or {self.truth(names)}:", "  break"]
        return [indent + line for line in lines]

    def function(self, name):
        names = ["a", "b", "c", "d"]
        lines = ["@kernel", f"def {name}(a, b, c) -> tuple[float, float, bool]:",
                 " d = a - b", *self.block(names, " ", 2), f" e = {self.number(names)} + a * 0.0",
                 f" return a + d, e, {self.truth(names)}"]
        return "\n".join(lines)


def bits(value):
    """A float to the last bit; all NaN are one."""
    return "nan" if isinstance(value, float) and math.isnan(value) else struct.pack(">d", value)


@in_node
def test_random_functions_agree_to_the_last_bit(load, plain, tmp_path):
    writer = Writer(20)
    count = 150
    source = [writer.function(f"random_{k}") for k in range(count)]
    module = load(HEAD + "\n" + "\n\n".join(source))
    functions = [getattr(module, f"random_{k}") for k in range(count)]
    special = [0.0, -0.0, math.inf, -math.inf, math.nan, 5e-324, 1e308, 1.0, -1.0, 0.1]
    calls = []
    for function in functions:
        for _ in range(20):
            draw = writer.random
            calls.append((function, tuple(
                draw.choice(special) if draw.random() < 0.3 else draw.gauss(0.0, 3.0)
                for _ in range(3))))
    named = [(function.__name__, given) for function, given in calls]
    answers = js.in_node(javascript.translate(functions), named, tmp_path)
    kinds = set()
    with np.errstate(all="ignore"):
        for (function, given), (answer, _) in zip(calls, answers, strict=True):
            expected = js.plain(function(*map(np.float64, given)))
            assert list(map(bits, answer)) == list(map(bits, expected)), (function.__name__, given)
            kinds.update(map(type, expected))
            kinds.update(str(value) for value in expected if value in (0.0, math.inf))
    assert {float, bool, "0.0", "-0.0", "inf"} <= kinds


@in_node
def test_a_loop_may_end_at_a_choice(load, plain, tmp_path):
    module = load(HEAD + "def f(x, n: int) -> int:\n rounds = 0\n"
                  " for i in range(1, n if x > 0.0 else n + 2):\n  rounds += i\n return rounds")
    calls = [("f", (x, n)) for x in (1.0, -1.0) for n in (0, 1, 4)]
    answers = js.in_node(javascript.translate([module.f]), calls, tmp_path)
    assert [answer for answer, _ in answers] == [module.f(*given) for _, given in calls]


@in_node
def test_a_compute_function_imports_from_the_kernel(load, plain, tmp_path):
    """A scene's function stands alone and calls the kernel's module."""
    kernel = load(HEAD + "@kernel\ndef least(x, y):\n return min(x, y) * LIMIT", name="kernel")
    text = ("from kernel import Pair, half, least\n"
            "def compute(x, y) -> Pair:\n"
            '    """Two numbers from two."""\n'
            "    lower = least(x, y)\n"
            "    return Pair(first=half(lower), second=max(x, lower))\n")
    compute = load(text).compute
    module = javascript.translate([compute], imports=kernel)
    assert module.startswith('import { half, least } from "./kernel.mjs";\n')
    assert "function half" not in module
    (tmp_path / "kernel.mjs").write_text(javascript.translate([kernel.half, kernel.least]))
    [[result, _]] = js.in_node(module, [("compute", (3.0, 1.0))], tmp_path)
    assert result == js.plain(compute(3.0, 1.0)) == {"first": 1.0, "second": 3.0}


def test_the_committed_module_is_what_the_source_gives():
    """Else run ``python -m spinlab.kernel.javascript`` and commit what it writes."""
    committed = Path(spinlab.kernel.__file__).with_name("kernel.mjs").read_text(encoding="utf-8")
    assert committed == javascript.kernel_module()
