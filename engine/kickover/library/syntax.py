"""What the YAML parser says about broken text, put into words for an author.

The parser's own words differ between its two builds and speak of tokens; authors think of colons,
quotation marks and indentation.
"""

from __future__ import annotations

import yaml

_WORDINGS = (
    ("node content", "something is missing here, or a bracket before it is not closed", "complete it"),
    ("maximum nesting", "the nesting is much too deep here", "write it flatter"),
    ("mapping values are not allowed", "a second colon on this line", "put the text into quotation marks"),
    (
        "could not find expected ':'",
        "a line without a colon where a key is wanted",
        "write `key: value`, or indent the line",
    ),
    ("unexpected end of stream", "a quotation mark that opens here is not closed", "close it"),
    ("',' or ']'", "a list that opens here is not closed, or lacks a comma", "close it with `]`"),
    ("',' or '}'", "a mapping that opens here is not closed, or lacks a comma", "close it with `}`"),
    (
        "cannot start any token",
        "the text starts with a mark that YAML keeps for itself",
        "put the text into quotation marks",
    ),
    (
        "expected key",
        "the indentation does not fit, or a text needs quotation marks",
        "line the keys up, or quote the text",
    ),
    (
        "<block end>",
        "the indentation does not fit, or a text needs quotation marks",
        "line the keys up, or quote the text",
    ),
    ("'-' indicator", "the indentation does not fit the list above", "line the dashes up"),
    ("hexdecimal number", "a backslash in double quotation marks", "use single quotation marks"),
    ("hexadecimal numbers", "a backslash in double quotation marks", "use single quotation marks"),
    ("unknown escape character", "a backslash in double quotation marks", "use single quotation marks"),
    ("alphabetic or numeric", "a `*` or `&` that names nothing", "put the text into quotation marks"),
    (
        "undefined tag handle",
        "a `!` starts a tag, and tags are not read",
        "put the text into quotation marks",
    ),
    (
        "block sequence entries are not allowed",
        "a list starts on the line of its key",
        "start the list on the next line",
    ),
    ("document start", "a line that belongs to no key", "indent it, or give it a key"),
)


def explain(error: yaml.YAMLError) -> tuple[int, str, str]:
    """Give the line, what is wrong there, and what would mend it."""
    said = str(getattr(error, "problem", None) or error)
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line = mark.line + 1 if mark is not None else 1
    opening = getattr(error, "context_mark", None)
    for words, message, mend in _WORDINGS:
        if words in said:
            opened = opening.line + 1 if opening is not None and "opens here" in message else line
            return opened, message, mend
    return line, f"this is not YAML ({said.splitlines()[0][:80]})", "mend the writing of this line"
