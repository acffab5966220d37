"""The photos and sounds of another store, copied here before the rows that name them."""

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from shop.launch.places import private_folder
from shop.store.errors import NotBrought
from shop.store.files import hash_of, path_of


@contextmanager
def bringing_files(source: Path, names: Iterable[str]) -> Iterator[None]:
    """Copy these files; where the block fails those that were not here before go again.

    Raises NotBrought where one is missing there or has other bytes.
    """
    added: list[Path] = []
    try:
        for name in names:
            if not path_of(name).exists():
                added.append(path_of(name))
                _copy(source / name[:2] / name, path_of(name))
        yield
    except BaseException:
        for path in added:
            path.unlink(missing_ok=True)
        raise


def _copy(source: Path, target: Path) -> None:
    """On the disk before it has its name: a row must never lack its bytes."""
    draft = private_folder(target.parent) / f"{target.name}.draft"
    try:
        with source.open("rb") as old, draft.open("wb") as new:
            while piece := old.read(1024 * 1024):
                new.write(piece)
            new.flush()
            os.fsync(new.fileno())
        if hash_of(draft) != target.name:
            raise NotBrought(f"{source} has other bytes than its name says.")
        draft.replace(target)
    except OSError as error:
        raise NotBrought(f"{source} can't be copied: {error.strerror}.") from error
    finally:
        draft.unlink(missing_ok=True)
