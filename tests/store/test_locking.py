"""Two processes on one PostgreSQL: who waits for whom. Whoever waits for a push while it holds what
the push will want waits in a circle, and PostgreSQL breaks one of the two off."""

from pathlib import Path

from tests.postgres import postgres_server
from tests.programs import beside


def test_while_a_push_is_under_way_only_another_push_waits(tmp_path: Path) -> None:
    code = "from tests.store.locking import waiting\nanswer = waiting()"
    with postgres_server() as url:
        found = beside(tmp_path, code, DATABASE_URL=url)
    assert [act for act, waited in found.items() if waited] == ["another push"]
    assert len(found) == 6
