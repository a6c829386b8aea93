# SPDX-License-Identifier: Apache-2.0
"""Docstrings are a contract: everything public has one, and the parameters it names exist in the signature."""

import importlib
import inspect
import pkgutil
import re
from types import ModuleType

import pytest

import brattice


def modules() -> list[str]:
    return sorted(
        info.name
        for info in pkgutil.walk_packages(brattice.__path__, "brattice.")
        if not info.name.endswith("__main__")
    )


def public(module: ModuleType) -> list[tuple[str, object]]:
    names = getattr(module, "__all__", None)
    if names is None:
        names = [name for name in vars(module) if not name.startswith("_")]
    found: list[tuple[str, object]] = []
    for name in names:
        thing = getattr(module, name)
        if (inspect.isfunction(thing) or inspect.isclass(thing)) and thing.__module__ == module.__name__:
            found.append((name, thing))
    return found


@pytest.mark.parametrize("name", modules())
def test_everything_public_says_what_it_is(name: str) -> None:
    module = importlib.import_module(name)
    assert (module.__doc__ or "").strip(), name
    missing = [item for item, thing in public(module) if not (inspect.getdoc(thing) or "").strip()]
    assert missing == []


@pytest.mark.parametrize("name", modules())
def test_parameters_named_in_docstrings_exist(name: str) -> None:
    """A word in back-quotes that looks like a parameter (`thing_mm`) and is followed by a unit in brackets, or that
    stands in a Parameters section, has to be a parameter, field or attribute."""
    module = importlib.import_module(name)
    wrong = []
    for item, thing in public(module):
        doc = inspect.getdoc(thing) or ""
        section = re.search(r"^Parameters\n-+\n(.*?)(?:\n\n[A-Z]|\Z)", doc, re.DOTALL | re.MULTILINE)
        named = re.findall(r"^(\w+) : ", section[1], re.MULTILINE) if section else []
        if inspect.isfunction(thing):
            known = set(inspect.signature(thing).parameters)
            if named and set(named) != known:
                wrong.append(f"{item}: Parameters section says {named}, signature {sorted(known)}")
            quoted = re.findall(r"`(\w+)` \[", doc)
            wrong += [f"{item}: `{word}` is no parameter" for word in quoted if word not in known]
    assert wrong == []


def test_exports_exist_and_are_sorted_lists() -> None:
    for name in modules():
        module = importlib.import_module(name)
        exported = getattr(module, "__all__", [])
        assert [item for item in exported if not hasattr(module, item)] == [], name
        assert len(set(exported)) == len(exported), name
