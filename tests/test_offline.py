"""No network: no module of the program imports what could reach one."""

from __future__ import annotations

import ast
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent / "logbook"
_REACHING = "aiohttp ftplib http httpx imaplib poplib requests smtplib socket socketserver ssl telnetlib"
REACHING = frozenset(f"{_REACHING} urllib urllib3 webbrowser websockets xmlrpc".split())
"""The standard library's ways to a network, and the usual packages for it."""


def reaching(source: str) -> set[str]:
    """The network modules a source imports, wherever in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.split(".")[0])
    return found & REACHING


def test_no_module_can_reach_a_network() -> None:
    sources = sorted(PACKAGE.rglob("*.py"))
    assert len(sources) > 100
    assert {path.name: reaching(path.read_text(encoding="utf-8")) for path in sources} == {
        path.name: set() for path in sources
    }


def test_an_import_inside_a_function_is_seen() -> None:
    assert reaching("def ask():\n    from urllib.request import urlopen\n    import json\n") == {"urllib"}
