"""JavaScript imports one way only, and each folder keeps to what is its own."""

import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
JS = ROOT / "static" / "js"
# What each folder may import from; nothing above it.
MAY_IMPORT = {
    "record": {"record"},
    "words": set(),
    "store": {"store", "record"},
    "sync": {"sync", "store", "record"},
    "screens": {"screens", "sync", "store", "record", "words"},
    # The desk's pages: nothing of the phone's.
    "office": {"office"},
    # The desk's look at a phone: the floor's own screens, with nothing behind them.
    "preview": {"preview", "screens", "record"},
}
IMPORT = re.compile(r"""(?:from\s+|import\s*\(?\s*)['"](\.[^'"]+)['"]""")
# Words that belong to one folder alone (boot.js starts the app and may fetch and touch).
OWNED = {
    r"\bindexedDB\b|navigator\.(storage|locks)": {"store"},
    r"\blocalStorage\b": {"store", "office"},
    r"\bfetch\(|navigator\.serviceWorker|XMLHttpRequest|EventSource": {"sync", "boot.js"},
    r"\bdocument\.(?!hidden\b)|\.innerHTML|\.querySelector": {
        "screens",
        "office",
        "preview",
        "boot.js",
    },
}
NOWHERE = r"innerHTML|outerHTML|insertAdjacentHTML|\beval\(|new Function|document\.write"


def problems(js: Path) -> list[str]:
    """Every rule broken under this folder, as `file: what`."""
    found = []
    for path in sorted(js.rglob("*.js")):
        place = path.relative_to(js)
        home = place.parts[0]
        text = re.sub(r"^\s*(//|\*|/\*).*$", "", path.read_text("utf-8"), flags=re.M)
        found += [f"{place}: imports {target}" for target in wrong_imports(path, js, home)]
        for words, owners in OWNED.items():
            found += [f"{place}: {m[0]}" for m in re.finditer(words, text) if home not in owners]
        found += [f"{place}: {m[0]}" for m in re.finditer(NOWHERE, text)]
    return found


def wrong_imports(path: Path, js: Path, home: str) -> list[str]:
    targets = [(path.parent / name).resolve() for name in IMPORT.findall(path.read_text("utf-8"))]
    missing = [str(t.relative_to(js)) for t in targets if not t.is_file()]
    wrong = [
        str(t.relative_to(js))
        for t in targets
        if home in MAY_IMPORT and t.relative_to(js).parts[0] not in MAY_IMPORT[home]
    ]
    return missing + wrong


def test_the_floors_modules_keep_to_the_arrows() -> None:
    assert problems(JS) == []


@pytest.mark.parametrize(
    ("folder", "line"),
    [
        ("record", "import { openShelf } from '../store/shelf.js';"),
        ("store", "import { ask } from '../sync/wire.js';"),
        ("sync", "import { put } from '../screens/dom.js';"),
        ("record", "import { nothing } from './nothing.js';"),
        ("record", "indexedDB.open('x');"),
        ("sync", "localStorage.setItem('a', 'b');"),
        ("screens", "fetch('/sync/pull');"),
        ("store", "document.body.remove();"),
        ("screens", "root.innerHTML = name;"),
        ("office", "import { put } from '../screens/dom.js';"),
        ("office", "fetch('/sync/pull');"),
        ("office", "indexedDB.open('x');"),
        ("screens", "eval('1');"),
        ("preview", "import { openShelf } from '../store/shelf.js';"),
        ("preview", "fetch('/sync/pull');"),
    ],
)
def test_each_rule_bites(tmp_path: Path, folder: str, line: str) -> None:
    js = tmp_path / "js"
    shutil.copytree(JS, js)
    (js / folder / "planted.js").write_text(line)
    assert [p for p in problems(js) if p.startswith(f"{folder}/planted.js")]
