#!/usr/bin/env python3
"""The one command of the program: `python3 manage.py demo`, `serve`, `test` and the rest."""

import sys

OLDEST, TOO_NEW = (3, 11), (3, 15)

if __name__ == "__main__":
    # Older Pythons, the second one too, must get as far as this sentence.
    if not OLDEST <= sys.version_info[:2] < TOO_NEW:
        found = ".".join(str(part) for part in sys.version_info[:2])
        sys.exit(
            "Kettleside needs Python 3.11, 3.12, 3.13 or 3.14; this is Python " + found + ". "
            "Start it with one of those, for example: python3.12 manage.py demo"
        )
    from shop.launch.start import main

    sys.exit(main(sys.argv))
