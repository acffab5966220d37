"""The inputs that are kept: one for each fault that was ever found, and good ones to begin with."""

from pathlib import Path

SEEDS = Path(__file__).parent / "seeds"


def seeds(name: str) -> list[bytes]:
    """The inputs kept for a target, in the order of their names."""
    return [read_seed(path) for path in sorted((SEEDS / name).iterdir())]


def read_seed(path: Path) -> bytes:
    """`.hex` files hold bytes as figures; `.txt` and `.json` hold the input itself."""
    content = path.read_bytes()
    return bytes.fromhex(content.decode()) if path.suffix == ".hex" else content
