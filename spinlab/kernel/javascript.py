"""The kernel in JavaScript: a translator from the kernel's dialect of Python to one ES module.

The dialect is the small part of Python that means the same compiled, as plain Python and in
JavaScript.  The translator refuses everything else and says what to write instead.

The rules of the dialect
------------------------
Kinds.  Every value is a float, an int, a bool, a record, an array or a tuple, and a name keeps its
kind.  A record is a `NamedTuple` class; a field without annotation is a float.  An array has one
dimension and comes from outside, as `Array`.  A tuple is only returned and unpacked.

Numbers.  In arithmetic and in a comparison an int may stand beside a float.  Everywhere else an int
is not a float: write ``0.0``, or ``float(n)``.  An int counts; it is not negative.  A number is not
a truth value: compare it.

Functions.  Parameters are positional and have no defaults.  A parameter is a float unless it is
annotated with ``int``, ``bool``, ``Array`` or a record class; a result likewise, or with
``tuple[…]`` or ``None``.  The only decorators are `kernel` and `entry`.  A function does not call itself.

Statements.  A docstring; ``name = …``; ``a, b = f(x)``, where ``_`` drops a part; ``name += …``
and its like; ``array[i] = …``, ``array[i] += …``; ``if``, ``elif``, ``else``; ``while``;
``for i in range(n)`` or ``range(first, n)``, where the loop assigns neither ``i`` nor what stands
in ``n``; ``break``, ``continue``, ``return``, ``pass``; a call by itself, of a function that fills
arrays.  A name has a value on every way to where it is read; a loop's ``i`` is read inside it only.

Expressions.  Literals; + - * / and unary minus; ``x**y`` of floats, and ``x**2`` with an int
literal; comparisons, also chained; ``and``, ``or``, ``not`` of truth values; ``a if c else b``;
what `MATH` lists; ``abs``, ``min`` and ``max`` of floats; ``len(array)``; ``float(n)``; a call of a
function of the kernel; a record with all its fields, in order or by keyword; ``record.field``;
``array[i]``; numbers that the module defines or imports.

Left to the caller.  An index lies in 0 … len − 1.  Nothing divides by zero, takes a root of a
negative number or overflows: there plain Python raises an error, the others give infinity or NaN.
The records' ranges see to that.

In JavaScript a record is an object with the same fields, an array a Float64Array, a tuple an array.

``python -m spinlab.kernel.javascript`` writes `kernel.mjs` beside this file.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import math
import pkgutil
import textwrap
from collections import Counter
from pathlib import Path
from typing import NamedTuple, get_args, get_origin, get_type_hints

from . import compiled

__all__ = ["MATH", "NotInDialect", "check", "kernel_module", "translate"]

MATH = {"sqrt": 1, "exp": 1, "expm1": 1, "log": 1, "log1p": 1, "log10": 1, "sin": 1, "cos": 1,
        "tan": 1, "asin": 1, "acos": 1, "atan": 1, "atan2": 2, "hypot": 2, "sinh": 1, "cosh": 1,
        "tanh": 1, "isfinite": 1, "isnan": 1, "pi": 0, "inf": 0}
"""What of `math` the dialect has, with its number of arguments; 0 for a constant."""

_MATH_TEXT = {"pi": "Math.PI", "inf": "Infinity", "isfinite": "Number.isFinite",
              "isnan": "Number.isNaN"}
_BUILTINS = {"abs": abs, "min": min, "max": max, "len": len, "float": float, "range": range}
_RESERVED = set("""
    arguments await case catch const debugger default delete do enum eval export extends false
    function implements import in instanceof interface let new null package private protected
    public static super switch this throw true try typeof undefined var void with yield
    Infinity NaN Math Number math
""".split())  # noqa: SIM905
_HELPERS = {  # as Python decides them, also for NaN and −0
    "min": "function min(a, b) {\n  return b < a ? b : a;\n}\n",
    "max": "function max(a, b) {\n  return b > a ? b : a;\n}\n"}

_CHOICE, _OR, _AND, _COMPARE, _ADD, _MULTIPLY, _POWER, _UNARY, _OBJECT, _WHOLE = range(10)
_ARITHMETIC = {ast.Add: ("+", _ADD), ast.Sub: ("-", _ADD), ast.Mult: ("*", _MULTIPLY),
               ast.Div: ("/", _MULTIPLY), ast.Pow: ("**", _POWER)}
_COMPARISONS = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "===",
                ast.NotEq: "!=="}
_CURES = {
    ast.Mod: "subtract whole multiples: the sign of the rest differs between languages",
    ast.FloorDiv: "divide with `/`",
    ast.Is: "compare numbers with `==`",
    ast.In: "compare with each value",
    ast.AnnAssign: "write `name = …`",
    ast.NamedExpr: "assign on a line of its own",
    ast.Lambda: "write a function of the module",
    ast.FunctionDef: "write the function outside this one",
    ast.JoinedStr: "return numbers and write the words elsewhere",
    ast.Try: "check the number with `if` beforehand",
    ast.Raise: "let the record that holds the number check it",
    ast.Assert: "let the record that holds the number check it",
    ast.Tuple: "return a tuple, or use a record, or write one assignment a line",
    ast.List: "take an array as a parameter",
    ast.ListComp: "write a `for` loop",
    ast.GeneratorExp: "write a `for` loop",
    ast.Dict: "use a record",
    ast.Set: "use a record",
    ast.Import: "import at the head of the module",
    ast.ImportFrom: "import at the head of the module",
    ast.Global: "return the value",
}


class NotInDialect(ValueError):
    """A function says something that the dialect does not have; one line for each refusal."""


class Value(NamedTuple):
    """A translated expression: its text, its kind, and how firmly the text holds together."""

    text: str
    kind: object
    rank: int = _WHOLE

    def within(self, rank):
        """The text, in parentheses where it holds together less firmly than `rank`."""
        return self.text if self.rank >= rank else f"({self.text})"


def translate(functions, imports=None) -> str:
    """The text of an ES module that exports `functions` and what they call, dependencies first.

    What lives in the package `imports` is not written again but imported from the module of that
    name: ``import { strike } from "./kernel.mjs"``.  A refusal is a `NotInDialect`.

    >>> from spinlab.kernel.water import drained_film
    >>> print(translate([drained_film]).splitlines()[1])
    export function drained_film(height, seconds, viscosity, density, gravity) {
    """
    return _Module(functions, imports).text()


def check(functions) -> None:
    """Raise `NotInDialect` with one line for each function that leaves the dialect."""
    _Module(functions, None)


def kernel_module() -> str:
    """The text of `kernel.mjs`: all functions of this package."""
    package = compiled.__name__.rpartition(".")[0]
    for module in pkgutil.iter_modules([str(Path(__file__).parent)]):
        importlib.import_module(f"{package}.{module.name}")
    ours = [f for f in compiled.REGISTRY if f.__module__.startswith(f"{package}.")]
    head = f"// Written by `python -m {package}.javascript` from the Python source: edit that.\n\n"
    ours.sort(key=lambda f: (f.__module__, f.__code__.co_firstlineno))  # however it was imported
    return head + translate(ours)


def _plain(function):
    """The Python function behind a compiled one."""
    return getattr(function, "py_func", function)


def _is_record(kind):
    return isinstance(kind, type) and issubclass(kind, tuple) and hasattr(kind, "_fields")


def _is_kind(kind):
    return kind in (float, int, bool, compiled.Array) or _is_record(kind)


def _fields(record):
    """Names and kinds of a record's fields."""
    hints = get_type_hints(record)
    return {name: hints.get(name, float) for name in record._fields}


def _parts(kind):
    """The kinds in a tuple; empty if this is no tuple."""
    return get_args(kind) if get_origin(kind) is tuple else ()


def _called(kind):
    """What a kind is called in a message."""
    names = {float: "a float", int: "an int", bool: "a truth value", type(None): "nothing",
             compiled.Array: "an array"}
    return names.get(kind) or (f"a record {kind.__name__}" if _is_record(kind) else f"a {kind}")


def _number(value):
    """A Python number as JavaScript writes it."""
    return repr(value).replace("inf", "Infinity").replace("nan", "NaN")


def _names(nodes):
    """How often each name stands in some statements."""
    found = (node for statement in nodes for node in ast.walk(statement))
    return Counter(node.id for node in found if isinstance(node, ast.Name))


def _both(one, other):
    """The names that have a value after two ways; None is a way that does not arrive."""
    if one is None or other is None:
        return other if one is None else one
    return one & other


class _Module:
    """All that goes into one ES module; every function is translated when it is made."""

    def __init__(self, functions, imports):
        self.wanted = [_plain(function) for function in functions]
        self.package = imports.__name__ if imports else None
        self.sources = {}
        self.bodies = {}
        self.imported = []
        self.constants = {}
        self.helpers = set()
        self.owners = {}
        refusals = []
        for function in self.wanted:
            try:
                self.write(function, ())
            except NotInDialect as refusal:
                refusals.append(str(refusal))
        if refusals:
            raise NotInDialect("\n".join(dict.fromkeys(refusals)))

    def knows(self, function):
        """Whether this is a function of the kernel, or one of those that are translated."""
        return any(function is known for known in [*compiled.REGISTRY, *self.wanted])

    def source(self, function):
        """The function's source and signature, read once."""
        if function not in self.sources:
            self.sources[function] = _Source(function)
        return self.sources[function]

    def owns(self, name, thing):
        """True if a name of the module belongs to this thing, and to no other."""
        return self.owners.setdefault(name, thing) == thing

    def write(self, function, callers):
        """Translate a function, after what it calls."""
        if function in self.bodies or function in self.imported:
            return
        if self.package and f"{function.__module__}.".startswith(f"{self.package}."):
            self.imported.append(function)
        else:
            self.bodies[function] = _Function(self.source(function), self, callers).text()

    def text(self):
        """The module's text."""
        parts = []
        if self.imported:
            names = ", ".join(sorted(function.__name__ for function in self.imported))
            parts.append(f'import {{ {names} }} from "./{self.package.rpartition(".")[2]}.mjs";\n')
        parts += [_HELPERS[name] for name in sorted(self.helpers)]
        constants = [f"const {name} = {text};\n" for name, text in self.constants.items()]
        if constants:
            parts.append("".join(constants))
        return "\n".join([*parts, *self.bodies.values()])


class _Source:
    """A function with its syntax tree, the kinds of its parameters and of its result."""

    def __init__(self, function):
        self.function = function
        if not inspect.isfunction(function) or function.__name__ == "<lambda>":
            raise NotInDialect(f"{function!r} is not a Python function; write it with `def`")
        self.file = function.__code__.co_filename
        try:
            lines, start = inspect.getsourcelines(function)
        except OSError:
            raise NotInDialect(f"{self.file}: the source of {function.__name__} is not there; "
                               "write the function in a file or a cell") from None
        self.tree = ast.parse(textwrap.dedent("".join(lines))).body[0]
        ast.increment_lineno(self.tree, start - 1)
        if not isinstance(self.tree, ast.FunctionDef):
            self.refuse(self.tree, "this is not a plain function; write it with `def`")
        self.names = [argument.arg for argument in self.tree.args.args]
        try:
            hints = get_type_hints(function)
        except (NameError, TypeError) as error:
            self.refuse(self.tree, f"an annotation is unknown ({error}); import what it names")
        self.kinds = [hints.get(name, float) for name in self.names]
        self.result = hints.get("return", float)
        nothing = self.result is type(None)
        results = [] if nothing else _parts(self.result) or [self.result]
        if not all(map(_is_kind, [*self.kinds, *results])):
            self.refuse(self.tree, "an annotation is not in the dialect; write float, int, bool, "
                        "Array, a NamedTuple class, or a tuple of these for the result")

    def refuse(self, node, message):
        """Raise the refusal with file and line."""
        raise NotInDialect(f"{self.file}:{node.lineno}: {message}")


class _Function(ast.NodeVisitor):
    """Translates one function; refuses what has no method here."""

    def __init__(self, source, module, callers):
        self.source = source
        self.refuse = source.refuse
        self.module = module
        self.callers = (*callers, source.function)
        self.kinds = dict(zip(source.names, source.kinds, strict=True))
        self.ready = set(source.names)  # what has a value here; None where nothing arrives
        self.loops = []  # of each loop around: names that must not change, what is ready at breaks
        self.lines = []
        self.depth = 1
        nodes = list(ast.walk(source.tree))
        names = [node for node in nodes if isinstance(node, ast.Name)]
        self.stores = Counter(node.id for node in names if isinstance(node.ctx, ast.Store))
        self.counters = {node.target.id for node in nodes
                         if isinstance(node, ast.For) and isinstance(node.target, ast.Name)}
        self.uses = _names(source.tree.body)
        self.inside = None  # the names of the block that is being translated
        self.declared = set(source.names)
        self.hoisted = []

    def text(self):
        """The exported function, with the docstring's first line above it."""
        tree, name = self.source.tree, self.source.function.__name__
        self.head(tree)
        document = ast.get_docstring(tree) or ""
        self.block(tree.body[1:] if document else tree.body)
        if self.ready is not None and self.source.result is not type(None):
            self.refuse(tree, f"`{name}` may end without a result; return one on every way, or "
                        "annotate `-> None`")
        first = document.partition("\n")[0].replace("*/", "* /")
        comment = f"/** {first} */\n" if first else ""
        declared = f"  let {', '.join(self.hoisted)};\n" if self.hoisted else ""
        lines = "".join(f"{line}\n" for line in self.lines)
        head = f"export function {name}({', '.join(self.source.names)}) {{\n"
        return f"{comment}{head}{declared}{lines}}}\n"

    def head(self, tree):
        """Check the name, the parameters and the decorators."""
        given = tree.args
        if given.defaults or given.kwonlyargs or given.posonlyargs or given.vararg or given.kwarg:
            self.refuse(tree, "parameters are positional; write no default, no `*` and no `/`")
        for decorator in tree.decorator_list:
            if not isinstance(decorator, ast.Name) or self.find(decorator) not in (compiled.kernel, compiled.entry):
                self.refuse(decorator, "the only decorator is `kernel`; remove this one")
        if self.source.function.__code__.co_freevars:
            self.refuse(tree, "it uses a name of the function around it; make that a parameter")
        if not self.module.owns(tree.name, self.source.function):
            self.refuse(tree, f"`{tree.name}` stands twice in the module; rename one")
        for name in [tree.name, *self.source.names]:
            self.check_name(tree, name)

    def generic_visit(self, node):
        cure = _CURES.get(type(node), "see the rules in spinlab.kernel.javascript")
        self.refuse(node, f"{type(node).__name__} is not in the dialect; {cure}")

    def operator(self, node, operator, known):
        """How JavaScript writes an operator."""
        if type(operator) not in known:
            cure = _CURES.get(type(operator), "use + - * / ** and comparisons")
            self.refuse(node, f"{type(operator).__name__} is not in the dialect; {cure}")
        return known[type(operator)]

    # -- kinds ------------------------------------------------------------------------------------

    def want(self, node, kind, what):
        """The value of an expression that must be of one kind."""
        value = self.visit(node)
        self.agree(node, value.kind, kind, what)
        return value

    def agree(self, node, got, kind, what):
        """Refuse a value of another kind."""
        if got == kind:
            return
        cure = f"give {_called(kind)}"
        if got is int and kind is float:
            cure = f"write {node.value}.0" if isinstance(node, ast.Constant) else "write float(…)"
        elif kind is bool:
            cure = "compare it, as in `x != 0.0`"
        self.refuse(node, f"{what} must be {_called(kind)}, not {_called(got)}; {cure}")

    def number(self, node, what):
        """The value of an expression that must be a float or an int."""
        value = self.visit(node)
        if value.kind not in (float, int):
            self.refuse(node, f"{what} works on numbers, not on {_called(value.kind)}; give a "
                        "number")
        return value

    # -- names ------------------------------------------------------------------------------------

    def is_local(self, name):
        return name in self.stores or name in self.source.names

    def find(self, node):
        """What a name of the module or a builtin stands for; None for a local name."""
        if self.is_local(node.id):
            return None
        scope = _BUILTINS | self.source.function.__globals__
        if node.id not in scope:
            self.refuse(node, f"`{node.id}` is unknown here; define or import it in the module")
        return scope[node.id]

    def check_name(self, node, name):
        """Refuse names that mean something else in JavaScript."""
        if name in _RESERVED or name in _BUILTINS:
            self.refuse(node, f"`{name}` is reserved, here or in JavaScript; rename it")

    def visit_Name(self, node):
        if self.is_local(node.id):
            if node.id not in self.ready:
                self.refuse(node, f"`{node.id}` may have no value here; assign it on every way")
            return Value(node.id, self.kinds[node.id])
        value = self.find(node)
        if type(value) not in (float, int):
            self.refuse(node, f"`{node.id}` is not a number; functions are called, and records "
                        "are parameters")
        self.check_name(node, node.id)
        if not self.module.owns(node.id, value):
            self.refuse(node, f"`{node.id}` has two meanings in the module; rename one")
        self.module.constants[node.id] = _number(value)
        return Value(node.id, type(value))

    def assign(self, node, name, kind):
        """Note that a name gets a value of this kind."""
        self.check_name(node, name)
        if name in self.counters or any(name in fixed for fixed, _ in self.loops):
            self.refuse(node, f"`{name}` counts or bounds a loop; use another name")
        if not _is_kind(kind):
            self.refuse(node, f"`{name}` gets {_called(kind)}; unpack a tuple, `a, b = f(x)`")
        known = self.kinds.setdefault(name, kind)
        if known != kind:
            self.refuse(node, f"`{name}` is {_called(known)} and becomes {_called(kind)}; use two "
                        "names, or a float from the start (0.0)")
        self.ready.add(name)

    def declare(self, names):
        """The word that declares these names here; none where the function's head declares them.

        A name is declared here if it is new and stands in no other block.
        """
        new = [name for name in names if name not in self.declared]
        self.declared.update(new)
        if new == names and all(self.inside[name] == self.uses[name] for name in names):
            return "const " if all(self.stores[name] == 1 for name in names) else "let "
        self.hoisted += new
        return ""

    # -- statements -------------------------------------------------------------------------------

    def line(self, text):
        self.lines.append(textwrap.indent(text, "  " * self.depth))

    def block(self, body):
        """Translate the statements of a block."""
        around, self.inside = self.inside, _names(body)
        for statement in body:
            if self.ready is None:
                self.refuse(statement, "this line is never reached; remove it")
            self.visit(statement)
        self.inside = around

    def braces(self, head, body):
        """A head with a block in braces, the last one left open."""
        self.line(f"{head} {{")
        self.depth += 1
        self.block(body)
        self.depth -= 1

    def visit_Pass(self, node):
        pass

    def visit_Expr(self, node):
        if not isinstance(node.value, ast.Call):
            self.refuse(node, "this value is not used; assign it or remove the line")
        value = self.visit(node.value)
        self.line(f"{value.text};")

    def visit_Assign(self, node):
        target = node.targets[0]
        if len(node.targets) > 1:
            self.refuse(node, "several names get one value; write one assignment a line")
        if isinstance(target, ast.Tuple):
            self.unpack(node, target)
        elif isinstance(target, ast.Subscript):
            value = self.want(node.value, float, "an array's element")
            self.line(f"{self.visit(target).text} = {value.text};")
        elif isinstance(target, ast.Name):
            value = self.visit(node.value)
            self.assign(node, target.id, value.kind)
            self.line(f"{self.declare([target.id])}{target.id} = {value.text};")
        else:
            self.refuse(node, "a record does not change; make a new one with all its fields")

    def unpack(self, node, target):
        """Names for the parts of a tuple that a function returns."""
        if not all(isinstance(part, ast.Name) for part in target.elts):
            self.refuse(node, "a tuple is unpacked into names; write `a, b = f(x)`")
        value = self.visit(node.value)
        names = ["" if part.id == "_" else part.id for part in target.elts]
        kinds = _parts(value.kind)
        real = [name for name in names if name]
        if len(kinds) != len(names) or len(set(real)) != len(real):
            self.refuse(node, f"the result has {len(kinds) or 'no'} parts; give each a name of its "
                        "own, or `_`")
        for name, kind in zip(names, kinds, strict=True):
            if name:
                self.assign(node, name, kind)
        kept = names[:1 + names.index(real[-1])] if real else []
        self.line(f"{self.declare(real)}[{', '.join(kept)}] = {value.text};")

    def visit_AugAssign(self, node):
        sign, _ = self.operator(node, node.op, _ARITHMETIC)
        if isinstance(node.target, ast.Attribute):
            self.refuse(node, "a record does not change; make a new one with all its fields")
        whole = ast.copy_location(ast.BinOp(node.target, node.op, node.value), node)
        kind = self.visit(whole).kind
        if isinstance(node.target, ast.Name):
            self.assign(node, node.target.id, kind)
        self.line(f"{self.visit(node.target).text} {sign}= {self.visit(node.value).text};")

    def visit_Return(self, node):
        wanted = self.source.result
        if node.value is None:
            self.agree(node, type(None), wanted, "the result")
            self.line("return;")
        elif isinstance(node.value, ast.Tuple):
            texts = self.listed(node, node.value.elts, _parts(wanted), "the annotated result")
            self.line(f"return [{', '.join(texts)}];")
        else:
            self.line(f"return {self.want(node.value, wanted, 'the result').text};")
        self.ready = None

    def visit_If(self, node, word="if"):
        test = self.want(node.test, bool, "a condition")
        before = set(self.ready)
        self.braces(f"{word} ({test.text})", node.body)
        after, self.ready = self.ready, before
        if len(node.orelse) == 1 and isinstance(node.orelse[0], ast.If):
            self.visit_If(node.orelse[0], "} else if")
        else:
            if node.orelse:
                self.braces("} else", node.orelse)
            self.line("}")
        self.ready = _both(after, self.ready)

    def visit_While(self, node):
        test = self.want(node.test, bool, "a condition")
        self.loop(f"while ({test.text})", node, frozenset())

    def visit_For(self, node):
        call = node.iter
        is_range = isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
        if not is_range or self.find(call.func) is not range or call.keywords:
            self.refuse(node, "a loop counts; write `for i in range(n)`")
        if len(call.args) not in (1, 2) or not isinstance(node.target, ast.Name):
            self.refuse(node, "a loop counts by one; write `for i in range(first, n)`")
        name = node.target.id
        self.check_name(node, name)
        if name in self.ready:
            self.refuse(node, f"`{name}` has a value already; count with another name")
        self.kinds[name] = int
        ends = [self.want(end, int, "an end of a range") for end in call.args]
        last = call.args[-1]
        if any(isinstance(part, ast.Call) and self.find(part.func) is not len
               for part in ast.walk(last)):
            self.refuse(node, "give the number of rounds a name before the loop")
        first = ends[0].text if len(ends) == 2 else "0"
        head = f"for (let {name} = {first}; {name} < {ends[-1].within(_ADD)}; {name} += 1)"
        self.ready.add(name)
        self.loop(head, node, _names([last]))
        self.ready.discard(name)

    def loop(self, head, node, fixed):
        """A loop in which the `fixed` names do not change."""
        if node.orelse:
            self.refuse(node.orelse[0], "a loop has no `else` here; use `if` after it")
        endless = head == "while (true)"
        before = set(self.ready)
        breaks = []
        self.loops.append((fixed, breaks))
        self.braces(head, node.body)
        self.loops.pop()
        self.line("}")
        self.ready = before
        if endless:
            self.ready = set.intersection(*breaks) if breaks else None

    def visit_Break(self, node):
        self.loops[-1][1].append(self.ready)
        self.line("break;")
        self.ready = None

    def visit_Continue(self, node):
        self.line("continue;")
        self.ready = None

    # -- expressions ------------------------------------------------------------------------------

    def visit_Constant(self, node):
        kind = type(node.value)
        if kind is bool:
            return Value(str(node.value).lower(), bool)
        if kind not in (float, int) or (kind is int and node.value > 2**31):
            self.refuse(node, f"{node.value!r} is not in the dialect; use numbers and truth values")
        return Value(_number(node.value), kind)

    def visit_BinOp(self, node):
        sign, rank = self.operator(node, node.op, _ARITHMETIC)
        left = self.number(node.left, f"`{sign}`")
        right = self.number(node.right, f"`{sign}`")
        if sign == "**":
            literal = isinstance(node.right, (ast.Constant, ast.UnaryOp))
            if left.kind is int or (right.kind is int and not literal):
                self.refuse(node, "`**` takes floats, or an int literal on the right; write "
                            "float(…)")
            return Value(f"{left.within(_OBJECT)} ** {right.within(_POWER)}", float, _POWER)
        kind = int if left.kind is right.kind is int and sign != "/" else float
        return Value(f"{left.within(rank)} {sign} {right.within(rank + 1)}", kind, rank)

    def visit_UnaryOp(self, node):
        if isinstance(node.op, ast.Not):
            value = self.want(node.operand, bool, "what follows `not`")
            return Value(f"!{value.within(_UNARY)}", bool, _UNARY)
        value = self.number(node.operand, "a sign")
        literal = isinstance(node.operand, ast.Constant)
        if not isinstance(node.op, ast.USub) or (value.kind is int and not literal):
            self.refuse(node, "only `-` is a sign, and only of a float; write -float(…)")
        return Value(f"-{value.within(_OBJECT)}", value.kind, _UNARY)

    def visit_BoolOp(self, node):
        sign, rank = ("&&", _AND) if isinstance(node.op, ast.And) else ("||", _OR)
        parts = [self.want(part, bool, "a part of `and` and `or`") for part in node.values]
        return Value(f" {sign} ".join(part.within(rank) for part in parts), bool, rank)

    def visit_Compare(self, node):
        between = [part for middle in node.comparators[:-1] for part in ast.walk(middle)]
        if any(isinstance(part, ast.Call) for part in between):
            self.refuse(node, "a call stands inside a chain; give its result a name first")
        signs = [self.operator(node, operator, _COMPARISONS) for operator in node.ops]
        values = [self.number(part, "a comparison") for part in [node.left, *node.comparators]]
        texts = [value.within(_ADD) for value in values]
        pairs = [f"{texts[k]} {sign} {texts[k + 1]}" for k, sign in enumerate(signs)]
        return Value(" && ".join(pairs), bool, _COMPARE if len(pairs) == 1 else _AND)

    def visit_IfExp(self, node):
        test = self.want(node.test, bool, "a condition")
        yes = self.visit(node.body)
        no = self.want(node.orelse, yes.kind, "what follows `else`")
        text = f"{test.within(_OR)} ? {yes.within(_OR)} : {no.within(_CHOICE)}"
        return Value(text, yes.kind, _CHOICE)

    def visit_Attribute(self, node):
        if self.is_math(node):
            return self.math(node, [])
        record = self.visit(node.value)
        if not _is_record(record.kind):
            self.refuse(node, f"only a record has fields, and this is {_called(record.kind)}; "
                        "annotate the parameter with its record class")
        known = _fields(record.kind)
        if node.attr not in known:
            self.refuse(node, f"{record.kind.__name__} has no field `{node.attr}`; it has "
                        f"{', '.join(known)}")
        return Value(f"{record.within(_WHOLE)}.{node.attr}", known[node.attr])

    def visit_Subscript(self, node):
        array = self.want(node.value, compiled.Array, "what is indexed")
        if isinstance(node.slice, ast.UnaryOp):
            self.refuse(node, "an index counts from the start; write `array[len(array) - 1]`")
        index = self.want(node.slice, int, "an index")
        return Value(f"{array.within(_WHOLE)}[{index.text}]", float)

    # -- calls ------------------------------------------------------------------------------------

    def is_math(self, node):
        """Whether this is `math.something`."""
        return isinstance(node.value, ast.Name) and self.find(node.value) is math

    def listed(self, node, given, kinds, name):
        """The texts of values that are listed, and must be of these kinds."""
        if len(given) != len(kinds) or any(isinstance(part, ast.Starred) for part in given):
            self.refuse(node, f"{name} has {len(kinds)} parts, not {len(given)}; give each one")
        places = enumerate(zip(given, kinds, strict=True), 1)
        return [self.want(part, kind, f"part {k} of {name}").text for k, (part, kind) in places]

    def math(self, node, given):
        """A constant or a call of `math`."""
        name = f"math.{node.attr}"
        if node.attr not in MATH or (MATH[node.attr] == 0) != (given == []):
            self.refuse(node, f"{name} is not in the dialect so; there is {', '.join(MATH)}")
        text = _MATH_TEXT.get(node.attr, f"Math.{node.attr}")
        if given:
            listed = self.listed(node, given, [float] * MATH[node.attr], name)
            text += f"({', '.join(listed)})"
        return Value(text, bool if node.attr.startswith("is") else float)

    def visit_Call(self, node):
        if isinstance(node.func, ast.Attribute) and self.is_math(node.func):
            self.no_keywords(node)
            return self.math(node.func, node.args)
        if not isinstance(node.func, ast.Name):
            self.refuse(node, "this cannot be called; import the function and call its name")
        called = self.find(node.func)
        if _is_record(called):
            return self.record(node, called)
        self.no_keywords(node)
        if any(called is known for known in _BUILTINS.values()):
            return self.builtin(node, called)
        return self.call(node, _plain(called))

    def no_keywords(self, node):
        if node.keywords:
            self.refuse(node, "a function has no keywords here; pass arguments by position")

    def call(self, node, function):
        """A call of another function of the kernel, which is translated first."""
        if not self.module.knows(function):
            self.refuse(node, f"`{node.func.id}` is not a function of the kernel; decorate it with "
                        "`kernel`")
        name = function.__name__
        if function in self.callers:
            self.refuse(node, f"`{name}` calls itself; write a loop")
        if self.is_local(name):
            self.refuse(node, f"`{name}` is also a name in this function; rename one")
        self.module.write(function, self.callers)
        if not self.module.owns(name, function):
            self.refuse(node, f"`{name}` stands twice in the module; rename one")
        signature = self.module.source(function)
        texts = self.listed(node, node.args, signature.kinds, name)
        return Value(f"{name}({', '.join(texts)})", signature.result)

    def builtin(self, node, called):
        """A call of one of the few functions of Python."""
        name, given = called.__name__, node.args
        if called in (min, max):
            self.module.helpers.add(name)
            first, *others = self.listed(node, given, [float] * max(len(given), 2), name)
            for other in others:
                first = f"{name}({first}, {other})"
            return Value(first, float)
        if called is abs:
            return Value(f"Math.abs({self.listed(node, given, [float], name)[0]})", float)
        if called is len:
            return Value(f"{self.listed(node, given, [compiled.Array], name)[0]}.length", int)
        if called is range:
            self.refuse(node, "`range` stands only in a loop; write `for i in range(n)`")
        self.listed(node, given, [int], name)
        return self.visit(given[0])._replace(kind=float)

    def record(self, node, record):
        """A record with all its fields, as an object."""
        known = _fields(record)
        given = list(zip(known, node.args)) + [(word.arg, word.value) for word in node.keywords]
        if sorted(known) != sorted(str(name) for name, _ in given) or len(node.args) > len(known):
            self.refuse(node, f"{record.__name__} has the fields {', '.join(known)}; give each "
                        "once")
        values = dict(given)
        kinds = list(known.values())
        texts = self.listed(node, [values[name] for name in known], kinds, record.__name__)
        parts = [name if text == name else f"{name}: {text}" for name, text in zip(known, texts)]
        line = f"{{ {', '.join(parts)} }}"
        if len(line) > 70 or "\n" in line:
            line = "{\n" + textwrap.indent(",\n".join(parts), "  ") + ",\n}"
        return Value(line, record, _OBJECT)


if __name__ == "__main__":
    Path(__file__).with_name("kernel.mjs").write_text(kernel_module(), encoding="utf-8")
