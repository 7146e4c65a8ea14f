"""The ways of the house: every module explains itself, none grows too long, data stay frozen, the top level stays clean."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import pytest

import stepwell

ROOT = Path(__file__).parent.parent.parent
PACKAGE = ROOT / "toolkit" / "stepwell"
MODULES = sorted(path.relative_to(ROOT).as_posix() for path in PACKAGE.rglob("*.py"))
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "toolkit", "protocols", "schema", "tests", "site_templates",
}  # fmt: skip
FROZEN = ("diagnostics", "model", "report.results", "publish.sheet", "quantities", "circuit.entry")


def tree(name: str) -> ast.Module:
    return ast.parse((ROOT / name).read_text(encoding="utf-8"))


def functions(node: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for inner in ast.walk(node):
        if isinstance(inner, ast.FunctionDef | ast.AsyncFunctionDef):
            yield inner


def test_there_are_modules() -> None:
    assert len(MODULES) > 100


@pytest.mark.parametrize("name", MODULES)
def test_a_module_explains_itself_and_is_short(name: str) -> None:
    module = tree(name)
    said = ast.get_docstring(module)
    assert said, "no docstring"
    assert len((ROOT / name).read_text(encoding="utf-8").splitlines()) <= 400
    long = [(f.name, lines) for f in functions(module) if (lines := (f.end_lineno or f.lineno) - f.lineno + 1) > 60]
    assert not long, "functions over 60 lines"


@pytest.mark.parametrize("name", MODULES)
def test_what_is_public_is_documented(name: str) -> None:
    module = tree(name)
    public = [
        node for node in module.body if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
    ]
    bare = [node.name for node in public if not ast.get_docstring(node) and "overload" not in ast.dump(node)]
    assert not bare


def frozen_modules() -> list[str]:
    names = [f"stepwell.{name}" for name in FROZEN]
    for name in tuple(names):
        module = importlib.import_module(name)
        if hasattr(module, "__path__"):
            names += [f"{name}.{inner.name}" for inner in pkgutil.iter_modules(module.__path__)]
    return names


@pytest.mark.parametrize("name", frozen_modules())
def test_data_are_frozen_and_hold_no_lists(name: str) -> None:
    module = importlib.import_module(name)
    for value in vars(module).values():
        if inspect.isclass(value) and dataclasses.is_dataclass(value) and value.__module__ == name:
            assert value.__dataclass_params__.frozen, value  # type: ignore[attr-defined]
            assert "__slots__" in vars(value), value
            kinds = [str(field.type) for field in dataclasses.fields(value)]
            assert not [kind for kind in kinds if kind.startswith(("list", "dict", "set"))], value


def test_the_top_level_holds_only_what_belongs_there() -> None:
    ignored = {line.strip().rstrip("/") for line in (ROOT / ".gitignore").read_text().splitlines() if line.strip()}
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert names - ignored <= TOP_LEVEL


def test_nothing_but_the_package_is_importable_from_the_source_root() -> None:
    assert not (PACKAGE.parent / "__init__.py").exists()
    assert Path(stepwell.__file__).parent.name == "stepwell"


def test_every_folder_of_the_package_is_a_package() -> None:
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert not [folder for folder in folders if not (folder / "__init__.py").is_file()]


def test_the_licence_is_whole() -> None:
    text = (ROOT / "toolkit" / "LICENSE").read_text(encoding="utf-8")
    assert "Apache License" in text
    assert "END OF TERMS AND CONDITIONS" in text


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / ".ci").iterdir()))
def test_scripts_say_what_they_are_for(name: str) -> None:
    first, second, third = (ROOT / ".ci" / name).read_text(encoding="utf-8").splitlines()[:3]
    assert first.startswith("#!/usr/bin/env ")
    assert second.startswith(("# ", '"""')), third
