"""A definition: one expression with its two readings, formula text and Python function."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from functools import cached_property, partial

from blockbook.formula import functions
from blockbook.formula.expression import Call, Constant, Expression, Name, Operand, Operation, lift
from blockbook.formula.functions import PYTHON_OF, Scalar, Value
from blockbook.languages import ENGLISH, Tag, speaking, spoken_tag

_STRENGTH = {"=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1, "&": 2, "+": 3, "-": 3, "*": 4, "/": 4}
_PYTHON_OPERATOR = {"=": "_same", "<>": "_differs", "&": "_join"}
_NAMESPACE: dict[str, object] = {
    "_same": functions.same,
    "_differs": functions.differs,
    "_join": functions.join,
    **{f"_{name}": function for name, function in PYTHON_OF.items()},
}


class Definition:
    """What a calculated quantity is, stated once.

    Calling it with expressions or numbers yields an expression, so definitions compose;
    `value` computes it from plain values, `formula` writes it over cell addresses.
    tag: the language of its texts, and of the numbers in them; `spoken` is the same in another. chosen: parameters
    that are fixed as it is stated, such as the words that it speaks in.
    """

    def __init__(self, function: Callable[..., Expression], tag: Tag = ENGLISH, **chosen: object) -> None:
        self._build, self._chosen, self.tag = partial(function, **chosen), chosen, tag
        self._spoken: dict[Tag, Definition] = {tag: self}
        self.name = function.__name__
        self.__doc__ = function.__doc__
        self.names: tuple[str, ...] = tuple(
            name for name in inspect.signature(function).parameters if name not in chosen
        )

    def __call__(self, *operands: Operand) -> Expression:
        return self._build(*(lift(operand) for operand in operands))

    def __repr__(self) -> str:
        return f"Definition({self.name}: {', '.join(self.names)})"

    def spoken(self) -> Definition:
        """The definition in the language spoken now; made once for each."""
        tag = spoken_tag()
        if tag is self.tag:
            return self
        if tag not in self._spoken:
            self._spoken[tag] = Definition(self._build.func, tag, **self._chosen)
        return self._spoken[tag]

    @cached_property
    def expression(self) -> Expression:
        with speaking(self.tag):
            return self._build(**{name: Name(name) for name in self.names})

    @cached_property
    def _template(self) -> str:
        return _text(self.expression, 0)

    @cached_property
    def compute(self) -> Callable[..., Scalar]:
        """The Python function, taking its quantities in the order of `names`."""
        source = f"lambda {', '.join(self.names)}: {_python(self.expression)}"
        joined = {"_join": functions.join_with_comma} if self.tag.decimal_mark == "," else {}
        function: Callable[..., Scalar] = eval(source, {**_NAMESPACE, **joined})  # our own tree, no outside text
        return function

    def value(self, *values: Value, **named: Value) -> Scalar:
        return self.compute(*values, **named)

    def formula(self, addresses: Mapping[str, str]) -> str:
        """Formula text without the leading "=".

        addresses: quantity name -> cell address, range, or a comma-joined list of those.
        """
        return self._template.format_map(addresses)


def definition(function: Callable[..., Expression]) -> Definition:
    """Make a definition of a function from expressions to an expression."""
    return Definition(function)


def _text(node: Expression, outer: int) -> str:
    match node:
        case Name(name):
            return f"{{{name}}}"
        case Constant(str() as text):
            return '"' + text.replace('"', '""').replace("{", "{{").replace("}", "}}") + '"'
        case Constant(float() | int() as number):
            return f"{number:.15g}" if number >= 0 else f"({number:.15g})"
        case Operation(symbol, left, right):
            strength = _STRENGTH[symbol]
            text = f"{_text(left, strength)}{symbol}{_text(right, strength + 1)}"
            return f"({text})" if strength < outer else text
        case Call(function, arguments):
            return f"{function}({','.join(_text(argument, 0) for argument in arguments)})"
    raise TypeError(f"not an expression: {node!r}")


def _python(node: Expression) -> str:
    match node:
        case Name(name):
            return name
        case Constant(value):
            return repr(value)
        case Operation(symbol, left, right) if symbol in _PYTHON_OPERATOR:
            return f"{_PYTHON_OPERATOR[symbol]}({_python(left)}, {_python(right)})"
        case Operation(symbol, left, right):
            return f"({_python(left)} {symbol} {_python(right)})"
        case Call("IF", (condition, then, otherwise)):
            return f"({_python(then)} if {_python(condition)} else {_python(otherwise)})"
        case Call("AND", arguments):
            return "(" + " and ".join(map(_python, arguments)) + ")"
        case Call("OR", arguments):
            return "(" + " or ".join(map(_python, arguments)) + ")"
        case Call("NOT", (argument,)):
            return f"(not {_python(argument)})"
        case Call(function, arguments):
            return f"_{function}({', '.join(map(_python, arguments))})"
    raise TypeError(f"not an expression: {node!r}")
