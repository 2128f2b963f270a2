"""What is shipped names no machine and no host, and works without a network."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).parents[1]

MACHINE_PATH: Final = re.compile(
    r"(?<![\w.:/~-])/(?:home|root|Users|work|mnt|srv|tmp)/\w+|\b[A-Za-z]:\\{1,2}(?:Users|Temp)\b"
)
HOST: Final = re.compile(
    r"\b(?:https?|wss?|ftp)://(\[[0-9a-f:]+\]|[A-Za-z0-9.-]+)|(?<=[\"'])//([\w-]+\.[\w.-]+)/"
)
NAMESPACES: Final = {"www.w3.org", "w3.org", "json-schema.org"}  # names of formats, never fetched
LOOPBACK: Final = {"localhost", "127.0.0.1", "[::1]", "0.0.0.0"}  # noqa: S104 - compared with, not bound
RESERVED: Final = re.compile(r"(^|\.)(example|test|invalid)$")  # RFC 2606: names that lead nowhere


def tracked(*under: str) -> list[Path]:
    """Files that are, or with the next commit will be, part of the project."""
    if not (ROOT / ".git").exists():  # an unpacked source distribution
        found = [path for top in under or (".",) for path in (ROOT / top).rglob("*")]
        return [path for path in found if path.is_file() and not is_scratch(path)]
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard", *under]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [ROOT / name for name in listed.split("\0") if name and (ROOT / name).is_file()]


def is_scratch(path: Path) -> bool:
    """Whether a file lies in a folder that tools made."""
    return any(part[0] == "." or part == "__pycache__" for part in path.relative_to(ROOT).parts)


def texts(*under: str) -> dict[str, str]:
    """Tracked text files by their name in the project."""
    found = {}
    for path in tracked(*under):
        content = path.read_bytes()
        if b"\0" not in content:
            found[path.relative_to(ROOT).as_posix()] = content.decode("utf-8")
    return found


def hosts_in(text: str) -> set[str]:
    """Hosts of the addresses in a text, those of this machine left out."""
    return {(match[1] or match[2]).lower() for match in HOST.finditer(text)} - LOOPBACK


def test_no_file_names_a_place_on_one_machine() -> None:
    """A path of somebody's computer works nowhere else."""
    found = {
        name: MACHINE_PATH.findall(text)
        for name, text in texts().items()
        if name != "tests/test_hygiene.py"
    }
    assert {name: paths for name, paths in found.items() if paths} == {}


def test_the_package_names_no_host() -> None:
    """Nothing is fetched at run time: names of XML and JSON formats are the only addresses."""
    found = {name: hosts_in(text) - NAMESPACES for name, text in texts("src").items()}
    assert len(found) > 1
    assert {name: hosts for name, hosts in found.items() if hosts} == {}


def test_the_rest_names_only_hosts_that_lead_nowhere() -> None:
    """Tests of foreign origins use reserved names; pinned releases carry no download addresses."""
    found = {
        name: {host for host in hosts_in(text) - NAMESPACES if not RESERVED.search(host)}
        for name, text in texts().items()
        if name != "tests/test_hygiene.py"
    }
    assert {name: hosts for name, hosts in found.items() if hosts} == {}


def test_text_files_end_in_a_line_end_and_have_no_carriage_returns() -> None:
    """The same bytes on every machine."""
    crooked = [
        name
        for name, text in texts().items()
        if "\r" in text or (text and text[-1] != "\n" and not name.endswith(".json"))
    ]
    assert crooked == []


def test_the_package_says_that_it_is_typed() -> None:
    assert (ROOT / "src" / "levelhead" / "py.typed").is_file()


# ---------------------------------------------------------------- the test of the test


@pytest.mark.parametrize(
    ("text", "hosts"),
    [
        ('<script src="https://files.example/a.js">', {"files.example"}),
        ("<script src='//files.example/a.js'>", {"files.example"}),
        ("wss://live.example/socket", {"live.example"}),
        ('xmlns="http://www.w3.org/2000/svg"', {"www.w3.org"}),
        ('f"http://{host}:{port}/"', set()),
        ("http://127.0.0.1:8000/ and http://[::1]/", set()),
        ("`ws://${location.host}/socket`", set()),
        ("half = total // parts", set()),
    ],
)
def test_hosts_are_found(text: str, hosts: set[str]) -> None:
    assert hosts_in(text) == hosts


@pytest.mark.parametrize(
    ("text", "is_path"),
    [
        (f"open('/{'home'}/anna/show.yaml')", True),
        ("C:" + r"\Users\anna", True),
        (f"see /{'root'}/notes", True),
        ("in/out and src/home/page.html", False),
        ("@app.get('/home')", False),
        ("https://localhost/home/page", False),
    ],
)
def test_machine_paths_are_found(text: str, is_path: bool) -> None:  # noqa: FBT001 - a column of the table
    assert bool(MACHINE_PATH.search(text)) is is_path
