"""Plugins of pydantic: none are looked for, since bloomline's models want none.

Pydantic asks every package that is installed beside it whether it brings one, and reads the
standard library's parser of electronic mail for that: a tenth of the start of a quick command.
"""

from __future__ import annotations

import os


def seek_no_plugins() -> None:
    """Let pydantic look for no plugins in this process and those that it starts.

    It asks as its first model is made. Whoever has set the variable has chosen.
    """
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
