"""What the program says is what it said, or was recorded anew with a reason (`golden/corpus.py`)."""

from __future__ import annotations

import pytest

from golden.corpus import FILE, digests


@pytest.mark.slow
def test_every_command_line_of_the_corpus_prints_what_it_printed() -> None:
    assert digests().splitlines() == FILE.read_text(encoding="utf-8").splitlines()
