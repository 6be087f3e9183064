"""Which language is spoken, and where its catalogue lies. English needs neither file nor Babel."""

from __future__ import annotations

import os
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gettext import NullTranslations
    from importlib.resources.abc import Traversable

    from babel import Locale

ENGLISH = "en"
DOMAIN = "bloomline"
_SYSTEM = ("LC_ALL", "LC_MESSAGES", "LANG")


class _Chosen:
    """The one choice of the process; words are asked for from several threads, and only read."""

    def __init__(self) -> None:
        self.code = ENGLISH
        self.catalogue: NullTranslations | None = None


_chosen = _Chosen()


def language() -> str:
    """The code of the language in use: "en", or one that has a catalogue."""
    return _chosen.code


def catalogue() -> NullTranslations | None:
    """The catalogue in use; None for English, which stands in the code."""
    return _chosen.catalogue


def use_language(code: str, *, folder: Traversable | None = None) -> str:
    """Speak a language from now on; return the one that is there for it, English failing all.

    code : as a system names it ("de", "de_DE.UTF-8", "de-DE"). folder : where the catalogues
    lie, in LANGUAGE/LC_MESSAGES; the program's own by default.
    """
    wanted = code.partition(".")[0].partition("@")[0].replace("-", "_")
    for each in dict.fromkeys((wanted, wanted.partition("_")[0])):
        if each == ENGLISH or not each.replace("_", "").isalnum():
            continue
        path = (folder or catalogue_folder()).joinpath(each, "LC_MESSAGES", f"{DOMAIN}.mo")
        if path.is_file():
            from gettext import GNUTranslations

            with path.open("rb") as file:
                _chosen.catalogue = GNUTranslations(file)
            _chosen.code = each
            return each
    _chosen.code, _chosen.catalogue = ENGLISH, None
    return ENGLISH


def wanted_language() -> str:
    """What the system asks for, as POSIX says: the first of its variables that is set."""
    # LANGUAGE is gettext's own list, and comes before all unless the locale is C.
    system = next((os.environ[name] for name in _SYSTEM if os.environ.get(name)), "")
    if system.partition(".")[0] in ("", "C", "POSIX"):
        return ENGLISH
    return os.environ.get("LANGUAGE", "").partition(":")[0] or system


def wanted_country() -> str:
    """The country that the system is set to: a code of two letters, a name, or ""."""
    system = next((os.environ[name] for name in ("LC_ALL", "LANG") if os.environ.get(name)), "")
    if not system:
        # Windows says "English_United Kingdom", and sets no variables.
        import locale

        system = locale.getlocale()[0] or ""
    return system.partition(".")[0].partition("@")[0].replace("-", "_").partition("_")[2]


def languages() -> list[str]:
    """English, and every language that has a catalogue."""
    folder = catalogue_folder()
    found = folder.iterdir() if folder.is_dir() else ()
    return [
        ENGLISH,
        *sorted(
            each.name for each in found if each.joinpath("LC_MESSAGES", f"{DOMAIN}.mo").is_file()
        ),
    ]


def language_name(code: str) -> str:
    """A language in its own words: "English", "Deutsch"."""
    return "English" if code == ENGLISH else locale_of(code).get_display_name() or code


def catalogue_folder() -> Traversable:
    """The folder of the program's catalogues, in a checkout or a wheel."""
    from bloomline.data import data_root  # English is not to wait for it

    return data_root("resources").joinpath("locale")


@lru_cache(maxsize=4)
def locale_of(code: str) -> Locale:
    """What the CLDR knows of a language; Babel is loaded for this only."""
    from babel import Locale  # 20 ms, which English doesn't pay

    return Locale.parse(code)
