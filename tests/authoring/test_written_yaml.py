"""What is written as YAML reads back as it was, by this project's reader and by PyYAML's own."""

from __future__ import annotations

import yaml
from hypothesis import given
from hypothesis import strategies as st

from kickover.authoring.source import read_document, yaml_text

scalars = st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.text(max_size=12)
plain = st.recursive(
    scalars | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.text(max_size=8), plain, min_size=1, max_size=4))
def test_yaml_text_reads_back_as_what_was_written(data: dict[str, object]) -> None:
    text = yaml_text(data)
    assert yaml.safe_load(text) == data


def test_yaml_text_is_read_by_the_library_s_own_reader() -> None:
    data = {
        "a": {
            "yes": "no",
            "on": 1.5,
            "b": ["x y", "4 mm", {"c": "1", "d": "~"}, [], {}],
            "e": "two\nlines: #",
        }
    }
    document = read_document(yaml_text(data).encode(), "a.yaml")
    assert document.problems == ()
    assert document.data == data
