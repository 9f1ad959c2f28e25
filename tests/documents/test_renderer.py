from __future__ import annotations

import io
import stat
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from documents.pdf_text import text_of
from kickover.documents import renderer, text
from kickover.documents.dot_text import Drawing, Words, block
from kickover.documents.renderer import Program, RenderError, bundled_dot, render, system_dot

HOSTILE = [
    'a "quoted" \\" end',
    "\\N \\G \\L \\T \\E \\n \\l \\r \\",
    "<b>bold</b>",
    "<<table>>",
    "&amp; &lt; &#92; &",
    "]]> --> <!-- <script>alert(1)</script>",
    'x" URL="http://a" y="',
    "line\nbreak\ttab\r\n",
    "\x00\x01\x1b[31m",
    "}; digraph {",
    "жук Ω ≥ 3 kΩ é ő",
    "",
    " ",
    "%s %d {0}",
    "\u202eright to left\u2066",
    "\ud800",
    "a:b:c",
    "]",
    "]]",
    "<",
]


def programs() -> list[Program]:
    return [program for program in (bundled_dot(), system_dot()) if program]


def drawing_of(words: str) -> str:
    drawing = Drawing((Words(words),), "LR")
    label = block((Words(words), Words(words, 8, bold=True)), 120)
    drawing.shape("plain", "hexagon", label, (label.width + 60, label.height + 20))
    drawing.box("boxed", "note", label, (label.width + 20, label.height + 10))
    drawing.edge("plain", "boxed")
    return drawing.dot


def many_lines(long: int, wide: int) -> str:
    """A drawing of so many ranks of boxes; each box has a line to every box of the next rank."""
    drawing = Drawing((Words("Many"),), "TB")
    label = block((Words("A box of some width"),), 150)
    for rank in range(long):
        for place in range(wide):
            drawing.shape(f"{rank} {place}", "box", label, (150, 60))
            for below in range(wide) if rank + 1 < long else ():
                drawing.edge(f"{rank} {place}", f"{rank + 1} {below}")
    return drawing.dot


def words_in(svg: bytes) -> str:
    texts = [one.text or "" for one in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    return "".join("".join(texts).split())


def shown(words: str) -> str:
    return "".join(text.clean(words).split())


def test_the_program_from_pip_is_found() -> None:
    assert bundled_dot() is not None


@pytest.mark.parametrize("program", programs(), ids=lambda one: "bundled" if one.bundled else "system")
class TestBothPrograms:
    @pytest.mark.parametrize("words", HOSTILE)
    def test_any_label_is_shown_as_it_was_written(self, program: Program, words: str) -> None:
        assert words_in(render(drawing_of(words), "svg", program)) == shown(words) * 5

    @settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(st.text(max_size=60))
    def test_any_text_at_all_is_shown(self, program: Program, words: str) -> None:
        assert words_in(render(drawing_of(words), "svg", program)) == shown(words) * 5

    def test_png_is_a_picture_with_ink_on_white(self, program: Program) -> None:
        picture = Image.open(io.BytesIO(render(drawing_of("Spark"), "png", program))).convert("L")
        darkest, lightest = picture.getextrema()
        assert isinstance(darkest, int)
        assert isinstance(lightest, int)
        assert darkest < 60
        assert lightest == 255

    def test_pdf_keeps_its_text_as_text(self, program: Program) -> None:
        found = text_of(render(drawing_of("жук Ω ≥ 3 kΩ é"), "pdf", program))
        assert found.count("жук Ω ≥ 3 kΩ é") == 5

    def test_pdf_is_the_same_bytes_each_time(self, program: Program) -> None:
        dot = drawing_of("Spark")
        assert render(dot, "pdf", program) == render(dot, "pdf", program)

    def test_a_large_png_is_made_with_fewer_dots(self, program: Program) -> None:
        picture = Image.open(io.BytesIO(render(many_lines(300, 2), "png", program)))
        assert 0.9 * renderer.MOST_DOTS_ACROSS < max(picture.size) <= renderer.MOST_DOTS_ACROSS

    def test_a_png_too_large_to_read_is_refused_with_what_to_draw_instead(self, program: Program) -> None:
        with pytest.raises(RenderError, match=r"too large for PNG; draw it as \.svg or \.pdf"):
            render(many_lines(700, 2), "png", program)

    def test_broken_dot_is_an_error_in_one_line(self, program: Program) -> None:
        with pytest.raises(RenderError) as caught:
            render("digraph {", "svg", program)
        assert "\n" not in str(caught.value)


def test_an_unknown_form_is_refused() -> None:
    with pytest.raises(RenderError, match="choose one of svg, png, pdf, dot"):
        render("digraph {}", "bmp")


def test_without_any_program_the_mend_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(renderer, "system_dot", lambda: None)
    monkeypatch.setattr(renderer, "bundled_dot", lambda: None)
    with pytest.raises(RenderError, match="pip install graphviz-pure"):
        render("digraph {}", "svg")


def test_the_system_program_is_preferred() -> None:
    assert system_dot(lambda _: "/opt/bin/dot") == Program("/opt/bin/dot", bundled=False)
    assert system_dot(lambda _: None) is None


def test_a_program_that_hangs_is_stopped(tmp_path: Path) -> None:
    script = tmp_path / "dot"
    script.write_text("#!/bin/sh\nexec cat /dev/zero > /dev/null\n")
    script.chmod(script.stat().st_mode | stat.S_IXUSR)
    with pytest.raises(RenderError, match="was stopped"):
        render("digraph {}", "svg", Program(str(script), bundled=False), seconds=0.2)


def test_a_program_that_cannot_be_run_is_named(tmp_path: Path) -> None:
    with pytest.raises(RenderError, match="cannot be run"):
        render("digraph {}", "svg", Program(str(tmp_path / "none"), bundled=False))
