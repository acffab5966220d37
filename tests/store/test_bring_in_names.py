"""Which short name a shop gets in the store it is brought into."""

import pytest

from shop.store.bring_in import renamed
from shop.store.errors import NotBrought, SlugTaken
from tests.store.scene import Loft


def test_a_shop_keeps_its_name_unless_another_is_asked_for(loft: Loft) -> None:
    assert renamed(["demo"], []) == {"demo": "demo"}
    assert renamed(["loft"], ["attic"]) == {"loft": "attic"}
    assert renamed(["a", "loft"], ["loft=b"]) == {"a": "a", "loft": "b"}
    assert renamed(["a", "b"], ["a=b", "b=a"]) == {"a": "b", "b": "a"}


@pytest.mark.parametrize(
    ("here", "asked", "said"),
    [
        ([], [], "There is no shop in that store"),
        (["a", "b"], ["c"], "'c' names none of a, b; write --slug OLD=NEW"),
        (["a", "b"], ["c=d"], "'c=d' names none of a, b"),
        (["a"], ["Two Words"], "short name is 'Two Words'; it must be 1 to 40 of a-z, 0-9, -"),
        (["a"], ["x" * 41], "it must be 1 to 40"),
        (["a", "b"], ["a=b"], "a shop 'b' here already.*--slug a=NEW"),
        (["loft"], [], "a shop 'loft' here already.*--slug NEW"),
        (["a"], ["loft"], "a shop 'loft' here already"),
    ],
)
def test_a_name_that_can_not_be_is_refused(
    loft: Loft, here: list[str], asked: list[str], said: str
) -> None:
    with pytest.raises(NotBrought, match=said) as refused:
        renamed(here, asked)
    assert isinstance(refused.value, SlugTaken) == ("already" in said)
