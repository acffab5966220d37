"""Errors of this room.

TableError
├── AppendOnly   something tried to change or delete a row that is never changed or deleted
└── NotDurable   a connection would lose an answered press, or leave what was erased
"""


class TableError(Exception):
    """Root of this room's errors."""


class AppendOnly(TableError):
    """A row of this table is never changed or deleted; a correction is a new row."""

    def __init__(self, table: str, act: str) -> None:
        super().__init__(f"{table} is append-only: {act} is refused. Write a new row instead.")
        self.table = table
        self.act = act


class NotDurable(TableError):
    """The SQLite connection is not set as it must be."""

    def __init__(self, setting: str, value: object, wanted: object) -> None:
        super().__init__(
            f"SQLite's {setting} is {value}; it must be {wanted}. "
            "Set it in DATABASES['default']['OPTIONS']."
        )
        self.setting = setting
        self.value = value
        self.wanted = wanted
