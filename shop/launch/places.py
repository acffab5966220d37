"""Where the program keeps what must outlive the checkout.

Layout of the data folder:

    authority/           the certificate authority of this computer and its leaf
    demo/  shop/         one folder for each store: database, secret key, photos, backups
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

import platformdirs

from shop.launch.errors import UnknownStoreError

STORES = ("shop", "demo")


def data_folder() -> Path:
    """The folder of everything the program keeps; KETTLESIDE_DATA overrides the platform's."""
    chosen = os.environ.get("KETTLESIDE_DATA")
    return Path(chosen) if chosen else Path(platformdirs.user_data_dir("kettleside", False))


def store_name() -> str:
    """Which store this process serves: the real shop, or the demo that is kept apart from it."""
    name = os.environ.get("KETTLESIDE_SHOP", "shop")
    if name not in STORES:
        raise UnknownStoreError(name, STORES)
    return name


def store_folder() -> Path:
    return private_folder(data_folder() / store_name())


def database_file() -> Path:
    return store_folder() / "kettleside.sqlite3"


def files_folder() -> Path:
    """Photos and sounds, each under the hash of its content."""
    return store_folder() / "files"


def backup_folder() -> Path:
    """KETTLESIDE_BACKUPS may lie on another disk: a copy beside the store burns with it."""
    chosen = os.environ.get("KETTLESIDE_BACKUPS")
    return Path(chosen) / store_name() if chosen else store_folder() / "backups"


def authority_folder() -> Path:
    """Shared by both stores, so that a phone which trusts the demo trusts the shop."""
    return private_folder(data_folder() / "authority")


def private_folder(folder: Path) -> Path:
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def kept_secret(path: Path) -> str:
    """A random secret, made at the first start and read ever after.

    Two processes may start at once: the file appears whole or not at all, and the first wins.
    """
    if not path.exists():
        draft = path.with_name(f"{path.name}.{secrets.token_hex(8)}.draft")
        write_private(draft, secrets.token_urlsafe(64).encode())
        try:
            # On Windows a rename, elsewhere a link, refuses to take another's place.
            draft.rename(path) if os.name == "nt" else os.link(draft, path)
        except FileExistsError:
            return path.read_text()
        finally:
            draft.unlink(missing_ok=True)
    return path.read_text()


def write_private(path: Path, content: bytes) -> None:
    """Write so that no other account can read it, not even for a moment."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
