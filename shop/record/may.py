"""What a person may do with a boil, by their role on its sheet; may.js is the same.

It says whom an act is offered to. An act by somebody else is kept all the same: what happened
happened.
"""

from shop.record.check import Sheet


def may(sheet: Sheet, person: str, act: str) -> bool:
    """Whether this person's role may do this; a sheet without roles lets everybody.

    Somebody who is not on the sheet may nothing.
    """
    if "roles" not in sheet:
        return True
    role = next((p["role"] for p in sheet["people"] if p["id"] == person), None)
    return any(row["name"] == role and act in row["may"] for row in sheet["roles"])
