"""How are things said, in the language chosen? Sentences, days, numbers and lists."""

from bloomline.words.days import (
    band_words,
    day_words,
    full_day_words,
    long_day_words,
    month_letter,
    month_words,
    part_of_month,
    short_day_words,
    short_month_words,
    short_span_words,
    span_words,
)
from bloomline.words.language import language, use_language, wanted_language
from bloomline.words.messages import context, later, plural, tr
from bloomline.words.numbers import listed, number_words, percent_words

__all__ = [
    "band_words",
    "context",
    "day_words",
    "full_day_words",
    "language",
    "later",
    "listed",
    "long_day_words",
    "month_letter",
    "month_words",
    "number_words",
    "part_of_month",
    "percent_words",
    "plural",
    "short_day_words",
    "short_month_words",
    "short_span_words",
    "span_words",
    "tr",
    "use_language",
    "wanted_language",
]
