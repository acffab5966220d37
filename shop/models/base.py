"""Rows that are written once and never changed or deleted."""

from typing import Any, ClassVar, NoReturn, TypeVar

from django.db import models

from shop.models.errors import AppendOnly

Row = TypeVar("Row", bound=models.Model, covariant=True)


class AppendOnlyRows(models.QuerySet[Row]):
    """Refuses what would change or delete rows; the triggers of `guards` refuse it again."""

    def update(self, **values: Any) -> NoReturn:
        raise AppendOnly(self.model._meta.db_table, "update")

    def delete(self) -> NoReturn:
        raise AppendOnly(self.model._meta.db_table, "delete")

    def bulk_update(self, *rows: Any, **how: Any) -> NoReturn:
        raise AppendOnly(self.model._meta.db_table, "bulk_update")

    def bulk_create(self, *rows: Any, **how: Any) -> list[Row]:
        if how.get("update_conflicts"):
            raise AppendOnly(self.model._meta.db_table, "bulk_create(update_conflicts=True)")
        return super().bulk_create(*rows, **how)


class AppendOnlyModel(models.Model):
    """Base of the tables that the law makes append-only."""

    # What may stand only once; the database refuses a second row, whatever the conflict clause.
    once: ClassVar[tuple[tuple[str, ...], ...]] = ()

    objects = AppendOnlyRows.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnly(self._meta.db_table, "save of a stored row")
        super().save(*args, **{**kwargs, "force_insert": True})

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise AppendOnly(self._meta.db_table, "delete")
