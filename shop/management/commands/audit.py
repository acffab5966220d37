"""`audit`: what the package index knows against the pinned packages."""

import time
from datetime import UTC, date, datetime
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shop.launch import audit

NOT_ALL = 3
# An index that does not answer must not hold a check up for an hour.
MOST_S = 240


class Command(BaseCommand):
    help = (
        "Ask the package index for known vulnerabilities of every pinned package. Exit code 1: "
        "there is one that .pins/accepted.toml gives no reason for; 3: not all could be asked."
    )
    requires_system_checks = ()

    def handle(self, **_: Any) -> None:
        """Says what was asked, how old the answers are, and what could not be asked."""
        pins = settings.BASE_DIR / ".pins"
        wanted = audit.pinned((pins / "dev.txt").read_text("utf-8"))
        try:
            excuses, base = audit.accepted(pins / "accepted.toml"), audit.index()
        except (audit.CouldNotAsk, ValueError, KeyError) as wrong:
            raise CommandError(f"Nothing was audited: {wrong}.", returncode=NOT_ALL) from wrong
        found, made, unasked = asked(base, wanted)
        self.stdout.write(f"Asked about {len(wanted) - len(unasked)} of {len(wanted)} packages.")
        if made:
            self.stdout.write(f"The oldest answer is of {min(made):%d %B %Y %H:%M} UTC.")
        bad = audit.unexcused(found, excuses, date.today())
        for one in found:
            self.stdout.write(f"{one}{'' if one in bad else ', accepted until its day'}")
        if bad:
            raise CommandError(f"{len(bad)} known vulnerabilities without a reason.")
        if unasked:
            names = "; ".join(unasked[:5])
            raise CommandError(
                f"{len(unasked)} packages could not be asked about, so nothing is said of them: "
                f"{names}{' …' if len(unasked) > 5 else ''}",
                returncode=NOT_ALL,
            )
        self.stdout.write("No known vulnerability without a reason.")


def asked(
    base: str, wanted: list[tuple[str, str]]
) -> tuple[list[audit.Found], list[datetime], list[str]]:
    """What was found, when each answer was made, and what could not be asked."""
    found: list[audit.Found] = []
    made: list[datetime] = []
    unasked: list[str] = []
    begun = time.monotonic()
    for package, version in wanted:
        if time.monotonic() - begun > MOST_S:
            unasked.append(f"{package} {version} (the index is too slow)")
            continue
        try:
            those, when = audit.vulnerable(base, package, version)
        except audit.CouldNotAsk as wrong:
            unasked.append(str(wrong))
            continue
        found += those
        made.append(when.astimezone(UTC) if when else datetime.now(UTC))
    return found, made, unasked
