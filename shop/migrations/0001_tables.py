import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Device",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=24)),
                ("name", models.CharField(max_length=60)),
                ("station", models.CharField(blank=True, default="", max_length=40)),
                ("is_server", models.BooleanField(default=False)),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("added", models.BigIntegerField()),
                ("locked_out_at", models.BigIntegerField(blank=True, null=True)),
                ("seen", models.BigIntegerField(blank=True, null=True)),
                ("head_seq", models.BigIntegerField(default=0)),
                ("head_hash", models.CharField(blank=True, default="", max_length=64)),
                ("told_seq", models.BigIntegerField(default=0)),
                ("told_hash", models.CharField(blank=True, default="", max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name="Sheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("hash", models.CharField(max_length=64)),
                ("text", models.TextField()),
            ],
        ),
        migrations.CreateModel(
            name="Shop",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("slug", models.SlugField(max_length=40, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("settings", models.JSONField(blank=True, default=dict)),
                ("epoch", models.CharField(max_length=32)),
                ("head", models.BigIntegerField(default=0)),
                ("head_hash", models.CharField(blank=True, default="", max_length=64)),
                ("hlc_ms", models.BigIntegerField(default=0)),
                ("hlc_count", models.BigIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name="Batch",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64)),
                ("lot", models.CharField(max_length=40)),
                ("letter", models.CharField(max_length=2)),
                ("pattern", models.CharField(max_length=12)),
                ("title", models.CharField(max_length=120)),
                ("phase", models.CharField(default="planned", max_length=12)),
                ("opened_position", models.BigIntegerField(default=0)),
                ("position", models.BigIntegerField(default=0)),
                (
                    "sheet",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="shop.sheet"),
                ),
                (
                    "shop",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="shop.shop"
                    ),
                ),
            ],
        ),
        migrations.AddField(
            model_name="sheet",
            name="shop",
            field=models.ForeignKey(
                db_index=False, on_delete=django.db.models.deletion.PROTECT, to="shop.shop"
            ),
        ),
        migrations.CreateModel(
            name="Projection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.BigIntegerField()),
                ("fold_version", models.IntegerField()),
                ("state", models.TextField()),
                (
                    "batch",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, to="shop.batch"
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
        migrations.CreateModel(
            name="Person",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=40)),
                ("name", models.CharField(max_length=60)),
                ("role", models.CharField(max_length=40)),
                ("active", models.BooleanField(default=True)),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="people",
                        to="shop.shop",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="NumberChange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=60)),
                ("value", models.BigIntegerField()),
                ("unit", models.CharField(max_length=12)),
                ("source", models.CharField(max_length=200)),
                ("by", models.CharField(blank=True, default="", max_length=60)),
                ("at", models.BigIntegerField()),
                (
                    "shop",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="shop.shop"),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="JoinCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(db_index=True, max_length=64)),
                ("expires", models.BigIntegerField()),
                ("used", models.BigIntegerField(blank=True, null=True)),
                (
                    "shop",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="shop.shop"),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Event",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.BigIntegerField()),
                ("seq", models.BigIntegerField()),
                ("line", models.TextField()),
                ("sha256", models.CharField(max_length=64)),
                ("received", models.BigIntegerField()),
                ("ahead", models.BigIntegerField(default=0)),
                ("chain", models.CharField(max_length=64)),
                (
                    "batch",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="shop.batch"
                    ),
                ),
                (
                    "carried_by",
                    models.ForeignKey(
                        blank=True,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.device",
                    ),
                ),
                (
                    "device",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.device",
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
        migrations.AddField(
            model_name="device",
            name="shop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="devices", to="shop.shop"
            ),
        ),
        migrations.CreateModel(
            name="Aside",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("device", models.CharField(max_length=24)),
                ("seq", models.BigIntegerField()),
                ("line", models.BinaryField()),
                ("sha256", models.CharField(max_length=64)),
                ("reason", models.CharField(max_length=16)),
                ("say", models.TextField()),
                ("received", models.BigIntegerField()),
                ("occupies", models.BooleanField(default=True)),
                (
                    "carried_by",
                    models.ForeignKey(
                        blank=True,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.device",
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
        migrations.CreateModel(
            name="ShopNumber",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=60)),
                ("value", models.BigIntegerField()),
                ("unit", models.CharField(max_length=12)),
                ("source", models.CharField(max_length=200)),
                (
                    "shop",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="shop.shop"
                    ),
                ),
            ],
        ),
        migrations.AddConstraint(
            model_name="sheet",
            constraint=models.UniqueConstraint(fields=("shop", "hash"), name="sheet_once"),
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.UniqueConstraint(fields=("shop", "key"), name="person_once"),
        ),
        migrations.AddIndex(
            model_name="event",
            index=models.Index(fields=["batch", "position"], name="event_of_batch"),
        ),
        migrations.AddConstraint(
            model_name="event",
            constraint=models.UniqueConstraint(fields=("shop", "position"), name="position_once"),
        ),
        migrations.AddConstraint(
            model_name="event",
            constraint=models.UniqueConstraint(fields=("device", "seq"), name="event_once"),
        ),
        migrations.AddConstraint(
            model_name="device",
            constraint=models.UniqueConstraint(fields=("shop", "key"), name="device_once"),
        ),
        migrations.AddConstraint(
            model_name="batch",
            constraint=models.UniqueConstraint(fields=("shop", "key"), name="batch_once"),
        ),
        migrations.AddConstraint(
            model_name="aside",
            constraint=models.UniqueConstraint(
                fields=("shop", "device", "seq", "sha256"), name="aside_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="shopnumber",
            constraint=models.UniqueConstraint(fields=("shop", "key"), name="number_once"),
        ),
    ]
