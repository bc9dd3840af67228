"""The lifter's language and region: texts of the workbook translated, days and numbers written as there.

`speaking` is the one way in: within it `say` gives a text in that language, from a gettext catalogue beside this
file (English is what stands in the code). Coach's sheets and the command line stay English. Babel reads catalogues
and knows regions; it is loaded only where another language or a region is asked for.
"""

from blockbook.languages.dates import (
    day_text,
    day_to_type,
    full_day_text,
    long_day_text,
    session_day_text,
    weekday_text,
)
from blockbook.languages.speaking import number_text, say, speaking, spoken_tag
from blockbook.languages.tags import ENGLISH, LANGUAGE_NAMES, Paper, Tag, nearest_tag, parse_tag

__all__ = [
    "ENGLISH",
    "LANGUAGE_NAMES",
    "Paper",
    "Tag",
    "day_text",
    "day_to_type",
    "full_day_text",
    "long_day_text",
    "nearest_tag",
    "number_text",
    "parse_tag",
    "say",
    "session_day_text",
    "speaking",
    "spoken_tag",
    "weekday_text",
]
