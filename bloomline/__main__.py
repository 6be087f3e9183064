"""`python -m bloomline`: the same as the command `bloomline`."""

from __future__ import annotations

import sys

from bloomline.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
