"""Messages, plurals, days and numbers: English without Babel, others by the CLDR."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from babel import Locale
from babel.dates import format_skeleton, get_month_names
from babel.messages.catalog import Catalog

from bloomline import words
from bloomline.words.catalogues import written

YEAR = [date(2027, 1, 1) + timedelta(days=11 * n) for n in range(34)]


def test_gaps_are_filled_and_days_are_put_in_words() -> None:
    assert words.tr("{count} bulbs", count=3) == "3 bulbs"
    assert words.tr("{weeks:.1f} weeks until {day}", weeks=2, day=date(2027, 3, 7)) == (
        "2.0 weeks until 7 March 2027"
    )
    assert words.tr("{0} and {name}") == "{0} and {name}"
    assert words.tr("") == ""


@pytest.mark.parametrize(
    ("n", "said"), [(0, "0 days"), (1, "1 day"), (2, "2 days"), (21, "21 days")]
)
def test_one_day_but_many_days(n: int, said: str) -> None:
    assert words.plural("{n} day", "{n} days", n) == said


def test_a_language_has_its_own_plurals(tmp_path: Path) -> None:
    # Three forms for 1, 2 to 4 and 5 and more, with the twenties alike: CLDR, plural rules, Polish.
    made = Catalog(locale="pl", domain="bloomline", fuzzy=False)
    made.add(("{n} layer", "{n} layers"), ("{n} warstwa", "{n} warstwy", "{n} warstw"))
    made.add("{weeks:.1f} weeks", "{weeks:.1f} tyg.")
    folder = tmp_path / "pl" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (folder / "bloomline.mo").write_bytes(written(made, compiled=True))
    try:
        assert words.use_language("pl_PL.UTF-8", folder=tmp_path) == "pl"
        said = [words.plural("{n} layer", "{n} layers", n) for n in (1, 3, 5, 22, 25)]
        assert said == ["1 warstwa", "3 warstwy", "5 warstw", "22 warstwy", "25 warstw"]
        assert words.tr("{weeks:.1f} weeks", weeks=2.5) == "2,5 tyg."
        assert words.tr("not there") == "not there"
        assert words.full_day_words(date(2027, 3, 7)) == "7 marca 2027"  # CLDR: genitive
        assert words.month_words(3) == "marzec"
    finally:
        words.use_language("en")


def test_a_language_without_a_catalogue_is_english() -> None:
    for code in ("de_DE.UTF-8", "", "C", "../x"):
        assert words.use_language(code) == "en"


def test_english_days_are_those_of_the_cldr() -> None:
    british = Locale.parse("en_GB")
    for day in YEAR:
        assert words.day_words(day) == format_skeleton("MMMMd", day, locale=british)
        assert words.full_day_words(day) == format_skeleton("yMMMMd", day, locale=british)
        assert words.month_words(day.month) == get_month_names(locale=british)[day.month]
        # The CLDR has "Sept" for the ninth month; three letters for each stand under one another.
        short = format_skeleton("MMMEd", day, locale=british).replace("Sept", "Sep")
        assert words.short_day_words(day, weekday=True) == short


def test_lists_and_spans() -> None:
    assert words.listed(["a", "b", "a", "c"]) == "a, b and c"
    assert words.listed("abcde", most=3) == "a, b and 3 more"
    assert words.short_span_words(date(2027, 3, 9), date(2027, 3, 15)) == "9–15 Mar"
    assert words.short_span_words(date(2026, 12, 29), date(2027, 1, 4), year=True) == (
        "29 Dec 2026 – 4 Jan 2027"
    )


def _loaded(arguments: list[str], **environment: str) -> tuple[str, set[str]]:
    code = (
        "import sys, json; from bloomline.cli.main import main; main(sys.argv[1:]);"
        "print(json.dumps(sorted(sys.modules)), file=sys.stderr)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        env={**os.environ, **environment},
    )
    return run.stdout, set(json.loads(run.stderr.splitlines()[-1]))


@pytest.mark.parametrize("form", ["table", "json"])
def test_a_german_system_changes_no_word_and_loads_no_babel(checkout: Path, form: str) -> None:
    yard = str(checkout / "demo" / "hollyhock-lane.bloomline")
    asked = ["work", yard, "--today", "2027-03-10", "--format", form]
    plain, _ = _loaded(asked)
    german, modules = _loaded(asked, LC_ALL="de_DE.UTF-8", LANG="de_DE.UTF-8", LANGUAGE="de")
    assert german == plain
    assert not {name for name in modules if name == "babel" or name.startswith("babel.")}
