"""Make the names that weather services submit readable: used when the places are rebuilt."""

from __future__ import annotations

import re

# Words that weather services shorten, by what a gardener would read. Keys are lower case.
_WORDS = {
    "ap": "Airport", "aero": "Airport", "aerop": "Airport", "aeropuerto": "Airport",
    "aeroport": "Airport", "aeroporto": "Airport",
    "flygplats": "Airport", "lentoasema": "Airport", "lentokentta": "Airport",
    "lufthavn": "Airport", "havalimani": "Airport", "flughafen": "Airport",
    "flugplatz": "Airport", "mittarfik": "Airport",
    "intl": "International", "inl": "International", "int": "International",
    "rgnl": "Regional", "muni": "Municipal", "fld": "Field", "co": "County",
    "mem": "Memorial", "gtr": "Greater", "ft": "Fort", "mt": "Mount", "lk": "Lake",
    "vly": "Valley", "cntrl": "Central", "pk": "Park", "twr": "Tower", "stn": "Station",
    "wash": "Washington", "ind": "Industrial", "svc": "Service", "exp": "Experimental",
    "fac": "Facility", "intercont": "Intercontinental", "obs": "Observatory",
    "is": "Island", "ag": "Agricultural",
}  # fmt: skip

# Marks of the kind of instrument or office at the end of a name: nothing to a gardener.
_MARKS = {
    "aws", "aut", "auto", "cs", "rcs", "climate", "gsn", "cda", "asos", "wso", "wsfo", "wsmo",
    "wbas", "awos", "vk", "wo", "bolge", "mrsc", "radiosonde", "famet", "faa",
}  # fmt: skip
_SWEDISH_MARKS = {"a", "d", "v", "m"}
_KEEP_CAPITAL = {
    "NAS", "AFB", "MCAS", "CGAS", "WFO", "JFK", "SW", "SE", "NE", "NW", "NNE", "NNW", "SSE",
    "SSW", "ENE", "ESE", "WNW", "WSW", "II", "III", "IV", "LTH", "SMHI", "FU", "NP", "NF",
    "DC", "GA", "TX", "KY", "LI", "BB", "RAAF", "TAFE", "INTA", "VI", "VC", "GT", "RL", "JA", "PHC",
}  # fmt: skip
_SMALL = {
    "of", "on", "the", "and", "de", "del", "della", "di", "da", "do", "dos", "das", "du", "des",
    "sur", "nad", "am", "auf", "im", "an", "der", "en", "et", "y", "alla", "pod", "und",
}  # fmt: skip
_SMALL_AFTER_SMALL = {"la", "las", "los", "el", "le", "les"}
_DIRECTIONS = {"N", "S", "E", "W"}
_CYRILLIC = str.maketrans("АВЕКМНОРСТХ", "ABEKMHOPCTX")
_UMLAUT_COUNTRIES = {"Germany", "Austria", "Switzerland"}
_NO_UMLAUT = {"Itzehoe", "Paenbruch", "Neuenburg"}
_STATION_KINDS = {
    "Stasiun Meteorologi Maritim": "maritime",
    "Stasiun Meteorologi": "weather",
    "Stasiun Klimatologi": "climate",
    "Stasiun Geofisika": "geophysics",
}


def tidy_name(submitted: str, country: str, *, keep_mark: bool = False) -> str:
    """Return a readable name for a station as its weather service submitted it.

    With `keep_mark` the letters for the kind of station stay, which tells two stations of
    one place apart.
    """
    text = submitted.translate(_CYRILLIC).replace("_", " ")
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    text = re.sub(r"(?<=[A-Z])(?=[A-Z][a-z])", " ", text)
    text = re.sub(r"(?<=[A-Za-z])(?=\d)|(?<=\d)(?=[A-Za-z])", " ", text)
    text = re.sub(r"\s*-\s*", "-", re.sub(r"\s+", " ", text)).strip()
    text, kind = _take_station_kind(text)
    words = text.split(" ")
    mark = ""
    if not keep_mark:
        words = _drop_marks(words, country)
    elif country == "Sweden" and words[-1].lower() in _SWEDISH_MARKS | {"aut"}:
        mark = {"a": "automatic", "aut": "automatic"}.get(words[-1].lower(), words[-1])
        words = words[:-1]
    words = [_tidy_word(word, at=i, words=words, country=country) for i, word in enumerate(words)]
    words = _airport_last(words)
    tidied = " ".join(words)
    tidied = re.sub(r"^([A-ZÄÖÜ][\wäöüß]+)-Bad$", r"Bad \1", tidied)
    if kind and keep_mark:
        mark = f"{kind} station"
    return f"{tidied} ({mark})" if mark else tidied


def _take_station_kind(text: str) -> tuple[str, str]:
    for prefix, kind in _STATION_KINDS.items():
        if text.startswith(prefix + " "):
            return text[len(prefix) + 1 :], kind
    return text, ""


def _drop_marks(words: list[str], country: str) -> list[str]:
    kept = list(words)
    while len(kept) > 1:
        last = kept[-1].lower()
        if country == "Canada" and last == "a":
            kept[-1] = "Airport"
        elif (last in _MARKS) or (country == "Sweden" and last in _SWEDISH_MARKS):
            kept.pop()
        else:
            break
    return [w for i, w in enumerate(kept) if i == 0 or w.lower() not in {"aws", "wso", "cda"}]


def _tidy_word(word: str, *, at: int, words: list[str], country: str) -> str:
    if "-" in word and not word.startswith("-"):
        parts = word.split("-")
        return "-".join(
            _tidy_word(p, at=i + at, words=parts, country=country) for i, p in enumerate(parts)
        )
    lower = word.lower()
    if lower in _WORDS and at > 0:
        return _WORDS[lower]
    if lower in {"ft", "mt"}:
        return _WORDS[lower]
    if lower in {"st", "ste"}:
        return word.capitalize()
    if word.upper() in _KEEP_CAPITAL and (word.isupper() or lower in {"ii", "iii"}):
        return word.upper()
    if word in _DIRECTIONS and len(words) > 1 and at > 0 and words[at - 1].isdigit():
        return word
    if at > 0 and lower in _SMALL:
        return lower
    if at > 1 and lower in _SMALL_AFTER_SMALL and words[at - 1].lower() in _SMALL:
        return lower
    tidied = word.capitalize() if word.isupper() or word.islower() else word
    if re.fullmatch(r"Mc[a-z]{3,}", tidied):
        tidied = "Mc" + tidied[2:].capitalize()
    if country in _UMLAUT_COUNTRIES and tidied not in _NO_UMLAUT:
        tidied = with_umlauts(tidied)
    return tidied


def with_umlauts(word: str) -> str:
    """A word with ae, oe, ue written as umlauts, where they are some."""
    # "ue" after another vowel or q is not an umlaut (Neuenburg, Quelle).
    word = re.sub(r"(?<![aeoqAEOQ])ue", "ü", word)
    word = re.sub(r"(?<![aeiouAEIOU])ae", "ä", word)
    word = re.sub(r"(?<![aeiouAEIOU])oe", "ö", word)
    return re.sub(r"^Oe(?=[a-z])", "Ö", word)


def _airport_last(words: list[str]) -> list[str]:
    if len(words) > 1 and words[0] in {"Airport", "Aeropuerto", "Mittarfik"}:
        return [*words[1:], "Airport"]
    if len(words) > 1 and words[0] == "Aerop":
        return [*words[1:], "Airport"]
    return words
