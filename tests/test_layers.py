"""Imports point one way: a layer knows only the layers before it."""

from __future__ import annotations

import ast
import graphlib
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final, NamedTuple

import pytest

from levelhead.gear.store import shipped_entries

SOURCE: Final = Path(__file__).parents[1] / "src" / "levelhead"

LAYERS: Final = (  # each imports only from those before it; two in a row are strangers
    ("errors",),
    ("quantity",),
    ("gear",),
    ("show",),
    ("rig",),
    ("circuit",),
    ("chain",),
    ("acoustics",),
    ("verdicts",),
    ("planning",),
    ("exchange",),
    ("drawing",),
    ("api",),
    ("__init__",),  # the top level offers names of all layers so far
    ("paper", "web"),
    ("cli",),
    ("__main__",),
)
RANK: Final = {layer: rank for rank, row in enumerate(LAYERS) for layer in row}

OURS: Final = "levelhead"
FILES: Final = {"numpy", "pydantic", "pydantic_core", "ruamel", "yaml"}
AT_IMPORT: Final = {  # third-party packages that a layer may import when it is itself imported
    "errors": set(),
    "quantity": {"numpy"},
    "gear": FILES,
    "show": FILES,
    "drawing": {"numpy", "markupsafe"},
    "paper": {
        *("numpy", "typst", "openpyxl", "jinja2", "markupsafe"),
        *("fontpkg", "fontpkg_ibm_plex_sans"),
    },
    "web": {
        "numpy",
        "starlette",
        "uvicorn",
        "websockets",
        "jinja2",
        "markupsafe",
        "anyio",
        "pydantic",
    },
    "cli": set(),
    "__main__": set(),
    "__init__": set(),
}
AT_IMPORT_ELSE: Final = {"numpy"}
INSIDE_FUNCTIONS: Final = {  # ... and those that it may import besides, inside functions
    "gear": {"scipy"},
    "circuit": {"scipy"},
    "chain": {"scipy"},
    "acoustics": {"scipy"},
    "verdicts": {"scipy"},
    "planning": {"scipy"},
    "exchange": {"openpyxl", "ruamel"},
    "paper": {"scipy"},
    "web": {"segno"},
    "cli": {"uvicorn", "numpy", "segno"},
}


class Import(NamedTuple):
    """One imported module, by its full dotted name."""

    line: int
    module: str
    name: str | None  # in `from module import name`
    is_deferred: bool  # inside a function


def module_name(path: Path, root: Path) -> str:
    """Dotted name of a file: `levelhead.circuit.cables`, a package by its folder's name."""
    parts = path.relative_to(root.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports_of(tree: ast.Module, module: str, *, is_package: bool) -> Iterator[Import]:
    """Every import of a module, also those in functions, under TYPE_CHECKING and by string."""
    package = module if is_package else module.rpartition(".")[0]
    pending: list[tuple[ast.AST, bool]] = [(tree, False)]
    while pending:
        node, is_deferred = pending.pop()
        yield from imports_at(node, package, is_deferred=is_deferred)
        inside = is_deferred or isinstance(
            node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda
        )
        pending.extend((child, inside) for child in ast.iter_child_nodes(node))


def imports_at(node: ast.AST, package: str, *, is_deferred: bool) -> Iterator[Import]:
    """Yield the imports that one node makes."""
    match node:
        case ast.Import(names=names):
            for alias in names:
                yield Import(node.lineno, alias.name, None, is_deferred)
        case ast.ImportFrom(module=module, names=names, level=level):
            parents = package.split(".")[: len(package.split(".")) - level + 1] if level else []
            source = ".".join([*parents, *([module] if module else [])])
            for alias in names:
                yield Import(node.lineno, source, alias.name, is_deferred)
        case ast.Call(
            func=ast.Attribute(attr="import_module") | ast.Name(id="import_module" | "__import__")
        ):
            for argument in node.args[:1]:
                if isinstance(argument, ast.Constant):
                    yield Import(node.lineno, str(argument.value), None, is_deferred)


def ring_in(graph: Mapping[str, set[str]]) -> list[str]:
    """Names that lead back to themselves, or an empty list."""
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as error:
        return list(error.args[1])
    return []


class Tree:
    """All modules of a package with their imports, read from source."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.paths = {module_name(path, root): path for path in sorted(root.rglob("*.py"))}
        self.imports = {
            name: list(
                imports_of(
                    ast.parse(path.read_text(encoding="utf-8"), str(path)),
                    name,
                    is_package=path.name == "__init__.py",
                )
            )
            for name, path in self.paths.items()
        }

    def layer(self, module: str) -> str:
        """Layer of one of our modules; the package itself is the top level."""
        return module.split(".")[1] if "." in module else "__init__"

    def target(self, found: Import) -> str:
        """Module that an import of ours reaches: a submodule where there is one of that name."""
        submodule = f"{found.module}.{found.name}"
        return submodule if found.name and submodule in self.paths else found.module

    def place(self, module: str, found: Import) -> str:
        """File and line, to click on."""
        return f"{self.paths[module].relative_to(self.root.parent)}:{found.line}"

    def upward(self) -> list[str]:
        """Imports from a later layer, or from a neighbour in the same row."""
        wrong = []
        for module, imports in self.imports.items():
            here = self.layer(module)
            for found in imports:
                if found.module.split(".")[0] != OURS:
                    continue
                there = self.layer(self.target(found))
                if here != there and RANK.get(there, len(LAYERS)) >= RANK.get(here, -1):
                    wrong.append(f"{self.place(module, found)}: {here} imports {there}")
        return wrong

    def cycle(self) -> list[str]:
        """Modules that import each other in a ring, or an empty list."""
        graph = {
            module: {self.target(found) for found in imports if found.module.split(".")[0] == OURS}
            - {module}
            for module, imports in self.imports.items()
        }
        return ring_in(graph)

    def ring_of_packages(self) -> list[str]:
        """Packages or single modules of one package that import each other, or an empty list."""
        packages = {
            ".".join(parts[:depth])
            for parts in (module.split(".") for module in self.paths)
            for depth in range(2, len(parts))
        }
        rings = (ring_in(self.arrows_inside(each)) for each in sorted(packages))
        return next((ring for ring in rings if ring), [])

    def arrows_inside(self, package: str) -> dict[str, set[str]]:
        """What each part of a package, itself a package or a module, imports of the others."""
        depth = package.count(".") + 2
        graph: dict[str, set[str]] = {}
        for module, imports in self.imports.items():
            if module.startswith(f"{package}."):
                ours = (self.target(found) for found in imports)
                theirs = {
                    ".".join(each.split(".")[:depth])
                    for each in ours
                    if each.startswith(f"{package}.")
                }
                here = ".".join(module.split(".")[:depth])
                graph.setdefault(here, set()).update(theirs - {here})
        return graph

    def strangers(self) -> list[str]:
        """Third-party imports that a layer has no business with, or makes too early."""
        wrong = []
        for module, imports in self.imports.items():
            layer = self.layer(module)
            early = AT_IMPORT.get(layer, AT_IMPORT_ELSE)
            for found in imports:
                package = found.module.split(".")[0]
                if package == OURS or package in sys.stdlib_module_names:
                    continue
                late = INSIDE_FUNCTIONS.get(layer, set()) if found.is_deferred else set()
                if package not in early | late:
                    wrong.append(f"{self.place(module, found)}: {layer} imports {package}")
        return wrong


@pytest.fixture(scope="module")
def ours() -> Tree:
    """Our own package."""
    return Tree(SOURCE)


def test_every_module_belongs_to_a_layer(ours: Tree) -> None:
    """A new folder gets its place in the order first."""
    assert len(ours.paths) > 1
    assert {ours.layer(module) for module in ours.paths} <= RANK.keys()


def test_imports_point_one_way(ours: Tree) -> None:
    """Also inside functions and for type checkers."""
    assert ours.upward() == []


def test_no_module_imports_itself_in_a_ring(ours: Tree) -> None:
    """Modules of one layer neither."""
    assert ours.cycle() == []


def test_packages_point_one_way(ours: Tree) -> None:
    """Arrows between the parts of a package lead one way, too: each can be read by itself."""
    assert ours.ring_of_packages() == []


def test_layers_keep_to_their_libraries(ours: Tree) -> None:
    """Core layers know numpy; scipy, web and PDF parts stay where they belong and come late."""
    assert ours.strangers() == []


@pytest.mark.parametrize("module", ["levelhead", "levelhead.cli"])
def test_starting_loads_nothing_heavy(module: str) -> None:
    """`import levelhead` and `--help` stay quick."""
    heavy = {"scipy", "starlette", "uvicorn", "websockets", "jinja2", "typst", "openpyxl", "anyio"}
    code = f"import sys, {module}; print(*sorted({heavy} & set(sys.modules)))"
    started = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert (started.stderr, started.stdout.split()) == ("", [])


def test_a_question_loads_no_files_libraries() -> None:
    """A question from the shipped gear book reads no YAML, no show file and no entry points."""
    shipped_entries()  # compiled now, if somebody has just changed an entry
    code = "import sys; from levelhead.cli import main; main(['ask', 'laptop', 'mixer line'])"
    code += "; print('LOADED', *sorted(set(sys.modules)))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(ran.stdout.partition("LOADED")[2].split())
    assert "levelhead.planning.asked.answer" in loaded
    unneeded = {"scipy", "ruamel.yaml", "starlette", "jinja2", "typst", "openpyxl"}
    assert loaded & {*unneeded, "levelhead.show.read.schema", "levelhead.show.document"} == set()


def test_the_page_of_a_show_loads_nothing_that_judges() -> None:
    """It stands on the screen first: questions and other pages load theirs when they come."""
    code = "import sys, levelhead.web.app, levelhead.web.library, levelhead.web.live.room"
    code += (
        "; from levelhead.web.live.view import shown_of; from levelhead.rig.build import build_rig"
    )
    code += "; from levelhead.gear.book import load_book"
    code += "; from levelhead.show.shipped import shipped_example"
    code += "; show = shipped_example('village-hall').document.show"
    code += "; shown_of(show, build_rig(show, load_book()))"
    code += "; print(*sorted(sys.modules))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = ran.stdout.split()
    assert "numpy" not in loaded, "import it from quantity/arrays.py, or later"
    parts = {each.split(".")[1] for each in loaded if each.startswith("levelhead.")}
    assert "web" in parts
    judging = parts & {"circuit", "chain", "acoustics", "verdicts", "paper"}
    assert judging == set(), "import it in the function that needs it (web/live/ready.py)"


# ---------------------------------------------------------------- the test of the test


@pytest.fixture
def planted(tmp_path: Path) -> Path:
    """Make a clean little package with our layers in it."""
    files = {
        "__init__.py": "",
        "errors.py": "",
        "circuit/__init__.py": "from levelhead.circuit.cables import loss",
        "circuit/cables.py": "import numpy as np\ndef loss():\n    import scipy.linalg",
        "circuit/solve.py": "from levelhead.circuit import cables",
        "web/__init__.py": "import starlette",
        "paper/__init__.py": "",
    }
    for name, text in files.items():
        path = tmp_path / OURS / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return tmp_path / OURS


def test_a_clean_package_passes(planted: Path) -> None:
    tree = Tree(planted)
    assert (tree.upward(), tree.cycle(), tree.strangers()) == ([], [], [])


@pytest.mark.parametrize(
    "text",
    [
        "import levelhead.web",
        "from levelhead import web",
        "from levelhead.web import app",
        "from .. import web",
        "from ..web.app import start",
        "def f():\n    from levelhead.web import app",
        "if TYPE_CHECKING:\n    from levelhead.web import app",
        "class A:\n    async def f(self):\n        return lambda: __import__('levelhead.web')",
        "importlib.import_module('levelhead.web')",
        "from levelhead import load_show",
    ],
)
def test_an_import_of_a_later_layer_is_seen(planted: Path, text: str) -> None:
    (planted / "circuit" / "solve.py").write_text(text)
    assert any(wrong.startswith("levelhead/circuit/solve.py:") for wrong in Tree(planted).upward())


def test_neighbours_in_a_row_are_strangers(planted: Path) -> None:
    (planted / "paper" / "__init__.py").write_text("from levelhead.web import app")
    assert Tree(planted).upward() == ["levelhead/paper/__init__.py:1: paper imports web"]


def test_a_ring_inside_a_layer_is_seen(planted: Path) -> None:
    (planted / "circuit" / "cables.py").write_text("def f():\n    from .solve import x")
    assert set(Tree(planted).cycle()) == {"levelhead.circuit.cables", "levelhead.circuit.solve"}


@pytest.mark.parametrize("package", ["circuit", "circuit.deep"])
def test_a_ring_of_packages_is_seen(planted: Path, package: str) -> None:
    """Though no module of it imports itself; at any depth."""
    dotted = f"levelhead.{package}"
    for name, text in {
        "near/a.py": f"from {dotted}.far import b",
        "near/d.py": "",
        "far/b.py": "",
        "far/c.py": f"from {dotted}.near import d",
    }.items():
        path = planted.joinpath(*package.split(".")) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    tree = Tree(planted)
    assert tree.cycle() == []
    assert set(tree.ring_of_packages()) == {f"{dotted}.near", f"{dotted}.far"}


@pytest.mark.parametrize(
    "text",
    [
        "import scipy",
        "import starlette",
        "def f():\n    import typst",
        "class A:\n    import scipy",
    ],
)
def test_a_library_out_of_place_is_seen(planted: Path, text: str) -> None:
    (planted / "circuit" / "solve.py").write_text(text)
    assert len(Tree(planted).strangers()) == 1
