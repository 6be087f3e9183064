"""How are things said, in the language chosen? Sentences, days, numbers and lists."""

from bloomline.words.days import (
    band_words,
    day_pattern,
    day_words,
    full_day_words,
    long_day_words,
    month_letter,
    month_words,
    part_of_month,
    short_day_words,
    short_month_words,
    short_span_words,
    short_weekday_words,
    span_words,
)
from bloomline.words.language import (
    ENGLISH,
    language,
    language_name,
    languages,
    use_language,
    wanted_language,
)
from bloomline.words.messages import context, marked, plural, quoted, tr
from bloomline.words.numbers import in_language, listed, number_words, percent_words

__all__ = [
    "ENGLISH",
    "band_words",
    "context",
    "day_pattern",
    "day_words",
    "full_day_words",
    "in_language",
    "language",
    "language_name",
    "languages",
    "listed",
    "long_day_words",
    "marked",
    "month_letter",
    "month_words",
    "number_words",
    "part_of_month",
    "percent_words",
    "plural",
    "quoted",
    "short_day_words",
    "short_month_words",
    "short_span_words",
    "short_weekday_words",
    "span_words",
    "tr",
    "use_language",
    "wanted_language",
]
