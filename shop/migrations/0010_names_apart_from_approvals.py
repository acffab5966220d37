"""The name under a customer's yes gets a table of its own, where it can be erased.

`who changed what` told that name too, in a row that is never changed: here it is taken out, and no
way back puts it in again. Triggers in the way are dropped; they are made after every migration.
"""

import re
from typing import Any

import django.db.models.deletion
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

TOLD = re.compile(r"(version [0-9]+) by .*")


def carry_over(apps: Any, editor: BaseDatabaseSchemaEditor) -> None:
    """Each typed name into its own row, and out of what was told of it."""
    approvals = apps.get_model("shop", "ProofApproval").objects.order_by("pk")
    own = apps.get_model("shop", "ApprovalName")
    own.objects.bulk_create(
        own(shop_id=row.shop_id, approval_id=row.pk, name=row.name) for row in approvals
    )
    change = apps.get_model("shop", "Change")
    rows = change.objects.filter(about__startswith="picture ", what="approved", by="", before="")
    told = [(row, TOLD.fullmatch(row.after)) for row in rows]
    if named := [(row, found[1]) for row, found in told if found]:
        _unguard(editor, change)
        for row, version in named:
            row.after = version
        change.objects.bulk_update([row for row, _ in named], ["after"], batch_size=500)
        _write_anew(editor, change)


def carry_back(apps: Any, editor: BaseDatabaseSchemaEditor) -> None:
    """Each name into its approval; where it was erased there is none."""
    approval = apps.get_model("shop", "ProofApproval")
    names = apps.get_model("shop", "ApprovalName").objects.values_list("approval_id", "name")
    _unguard(editor, approval)
    rows = [approval(pk=pk, name=name) for pk, name in names]
    approval.objects.bulk_update(rows, ["name"], batch_size=500)


def _unguard(editor: BaseDatabaseSchemaEditor, model: Any) -> None:
    """On PostgreSQL a trigger is of a table, on SQLite its name is enough."""
    table = model._meta.db_table
    of = "" if editor.connection.vendor == "sqlite" else f" ON {table}"
    for act in ("update", "delete", "once", "truncate"):
        editor.execute(f"DROP TRIGGER IF EXISTS {table}_{act}{of}")


def _write_anew(editor: BaseDatabaseSchemaEditor, model: Any) -> None:
    """On SQLite a row that moved leaves pieces of itself in its pages (store/erasing.py)."""
    if editor.connection.vendor == "sqlite":
        rows = list(model.objects.order_by("pk"))
        editor.execute(f"DELETE FROM {model._meta.db_table}")  # noqa: S608  # our own table
        model.objects.bulk_create(rows, batch_size=500)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0009_uses_summed"),
    ]

    operations = [
        migrations.CreateModel(
            name="ApprovalName",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=80)),
                (
                    "approval",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="typed",
                        to="shop.proofapproval",
                    ),
                ),
                (
                    "shop",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="shop.shop"
                    ),
                ),
            ],
        ),
        migrations.RunPython(carry_over, carry_back),
        # The way back adds the column to rows that are there, empty before it is filled.
        migrations.AlterField(
            model_name="proofapproval",
            name="name",
            field=models.CharField(blank=True, max_length=80),
        ),
        migrations.RemoveField(
            model_name="proofapproval",
            name="name",
        ),
    ]
