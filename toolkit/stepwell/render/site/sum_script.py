"""The sums as a script: the expressions of the table turned into JavaScript, and all else as data."""

from __future__ import annotations

import ast
import json
from math import pi

from stepwell.quantities.sums import Given, Pick, Said, Sum
from stepwell.quantities.units import quantity, to

_OPERATORS: dict[type[ast.AST], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.And: "&&",
    ast.Or: "||",
}
_CALLS = {"sqrt": "Math.sqrt", "ceil": "Math.ceil", "max": "Math.max", "min": "Math.min", "balance": "balance"}


def sums_script(sums: tuple[Sum, ...]) -> str:
    """``var sums = {...};`` with an entry for each sum by the name of its formula."""
    entries = ",\n".join(f"{json.dumps(one.formula.name)}: {_sum(one)}" for one in sums)
    return f"var sums = {{\n{entries}\n}};\n"


def javascript(expression: str) -> str:
    """A Python expression of the table as JavaScript. Raises ValueError for what the table may not say."""
    return _node(ast.parse(expression, mode="eval").body)


def _sum(one: Sum) -> str:
    names = [field.name for field in one.fields]
    names += [name for pick in one.picks for name, _ in pick.choices[0].values]
    lines = "".join(f"var {name} = {javascript(text)};" for name, text in one.lines)
    outs = ", ".join(f"{name}: {name}" for name, _ in one.lines)
    back = ", ".join(f"{name}: {name}" for name in names)
    parts = {
        "fields": _json([_field(field) for field in one.fields]),
        "picks": _json([_pick(pick) for pick in one.picks]),
        "work": f"function ({', '.join(names)}) {{{lines}return {{{', '.join(filter(None, (back, outs)))}}};}}",
        "order": _json(names),
        "refusals": _said(one.refusals),
        "notes": _said(one.notes),
        "shown": "["
        + ", ".join(
            f"{{name: {_json(show.name)}, digits: {show.digits}, refused: {_said((show.refused,) if show.refused else ())}}}"
            for show in one.shown
        )
        + "]",
    }
    return "{" + ", ".join(f"{name}: {text}" for name, text in parts.items()) + "}"


def _field(field: Given) -> dict[str, object]:
    factors = {unit: to(quantity(1, unit), field.unit) for unit in (field.unit, *field.units) if unit}
    return {"name": field.name, "unit": field.unit, "least": field.least, "most": field.most, "factors": factors}


def _pick(pick: Pick) -> dict[str, object]:
    return {"name": pick.name, "values": [dict(choice.values) for choice in pick.choices]}


def _said(sentences: tuple[Said, ...]) -> str:
    told = (f"{{when: function (v) {{return {_within(one.when)};}}, words: {_json(one.words)}}}" for one in sentences)
    return "[" + ", ".join(told) + "]"


def _within(condition: str) -> str:
    """A condition over the worked-out values ``v``."""
    tree = ast.parse(condition, mode="eval").body
    return _node(tree, prefix="v.")


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c")


def _node(node: ast.AST, prefix: str = "") -> str:
    def sub(inner: ast.AST) -> str:
        return _node(inner, prefix)

    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return repr(number)
        case ast.Name(id="pi"):
            return repr(pi)
        case ast.Name(id=name):
            return prefix + name
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return f"(-{sub(operand)})"
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return f"Math.pow({sub(left)}, {sub(right)})"
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            return f"({sub(left)} {_OPERATORS[type(op)]} {sub(right)})"
        case ast.Compare(left=left, ops=[op], comparators=[right]) if type(op) in _OPERATORS:
            return f"({sub(left)} {_OPERATORS[type(op)]} {sub(right)})"
        case ast.BoolOp(op=op, values=values):
            return "(" + f" {_OPERATORS[type(op)]} ".join(map(sub, values)) + ")"
        case ast.IfExp(test=test, body=body, orelse=orelse):
            return f"({sub(test)} ? {sub(body)} : {sub(orelse)})"
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _CALLS:
            return f"{_CALLS[name]}({', '.join(map(sub, args))})"
        case ast.Lambda(args=ast.arguments(args=[ast.arg(arg=name)]), body=body):
            return f"function ({name}) {{return {sub(body)};}}"
    raise ValueError(f"a sum may not say {ast.unparse(node)}")
