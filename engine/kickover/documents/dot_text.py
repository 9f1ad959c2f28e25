r"""Writes DOT: nodes of a stated size with labels of wrapped text, and the edges between them.

No text can act as DOT, as an escape such as `\N`, or as markup. Sizes are fixed by our own measure;
text is either centred by the viewer or starts at a fixed left edge, so that a renderer which measures
letters differently still puts it inside its box.
"""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

from graphviz import Digraph, nohtml

from kickover.documents import text

POINTS_PER_INCH = 72.0
LINE_HEIGHT = 1.25
"""Height of a line of text, as a share of its size."""
BACKSLASH = "\\\\"
"""A backslash that starts no escape: both kinds of label read `\\\\N` as the two characters `\\N`."""
BRACKET = "&#93;"
"""A closing bracket: Graphviz 2.43 stumbles over a plain one at the end of a text."""


@dataclass(frozen=True, slots=True)
class Words:
    """One piece of a label: what it says, how large in points, how heavy."""

    says: str
    size: float = 10.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """A label broken into lines, and the width and height that it takes up, in points."""

    lines: tuple[Words, ...]
    width: float
    height: float


def block(words: Sequence[Words], room: float) -> Block:
    """Lay `words` out one under the other, none wider than `room` points."""
    lines = tuple(
        Words(line, piece.size, piece.bold)
        for piece in words
        for line in text.wrap(piece.says, room, piece.size, piece.bold)
        if line
    ) or (Words("\u00a0"),)
    widest = max(text.width(line.says, line.size, line.bold) for line in lines)
    return Block(lines, widest, sum(line.size * LINE_HEIGHT for line in lines))


def table(*rows: str) -> str:
    """An HTML-like label: a table without a frame of its own around `rows` of cells."""
    body = "".join(f"<tr>{row}</tr>" for row in rows)
    return f'<<table border="0" cellborder="0" cellspacing="0" cellpadding="0">{body}</table>>'


def cell(label: Block, size: tuple[float, float], **more: str) -> str:
    """One cell of exactly `size` points, its lines flush left."""
    wide, high = size
    attributes = "".join(f' {key}="{html.escape(value)}"' for key, value in more.items())
    lines = "".join(_marked(line) + '<br align="left"/>' for line in label.lines)
    return (
        f'<td fixedsize="true" width="{wide:.0f}" height="{high:.0f}" align="left"{attributes}>{lines}</td>'
    )


def _marked(line: Words) -> str:
    escaped = html.escape(line.says).replace("\\", BACKSLASH).replace("]", BRACKET)
    return f'<font point-size="{line.size:g}">{f"<b>{escaped}</b>" if line.bold else escaped}</font>'


def _plain(label: Block) -> str:
    lines = (line.says.replace("&", "&amp;").replace("\\", BACKSLASH) for line in label.lines)
    return str(nohtml("\\n".join(lines)))


def _plain_words(says: str) -> str:
    """The letters and digits of `says`: a name that nothing takes for markup or an escape."""
    return " ".join("".join(one if one.isalnum() else " " for one in text.clean(says)).split())


class Drawing:
    """A directed graph being written; `direction` is LR (left to right) or TB (top to bottom)."""

    def __init__(self, title: Sequence[Words], direction: str, **graph: str) -> None:
        heading = block(title, 760.0)
        self._graph = Digraph(_plain_words(title[0].says) or "drawing")
        self._graph.attr(
            "graph",
            rankdir=direction,
            label=table(cell(heading, (heading.width + 8, heading.height + 8))),
            labelloc="t",
            labeljust="l",
            fontname=text.FONT_FAMILY,
            bgcolor="white",
            pad="0.2",
            **graph,
        )
        self._graph.attr("node", fontname=text.FONT_FAMILY, color="black", fontcolor="black", penwidth="1")
        self._graph.attr("edge", color="black", arrowsize="0.6", penwidth="1")

    def shape(self, name: str, shape: str, label: Block, size: tuple[float, float], **more: str) -> None:
        """Add a node of a built-in `shape` of exactly `size` points, its text centred and of one size."""
        self._node(name, shape, nohtml(_plain(label)), size, fontsize=f"{label.lines[0].size:g}", **more)

    def box(self, name: str, shape: str, label: Block, size: tuple[float, float], **more: str) -> None:
        """Add a node of a built-in `shape` of exactly `size` points, its text flush left."""
        inner = (size[0] - 10.0, size[1] - 4.0)
        self._node(name, shape, table(cell(label, inner)), size, **more)

    def _node(self, name: str, shape: str, label: str, size: tuple[float, float], **more: str) -> None:
        wide, high = (f"{points / POINTS_PER_INCH:.3f}" for points in size)
        self._graph.node(name, label, shape=shape, fixedsize="true", width=wide, height=high, **more)

    def cells(self, name: str, *rows: str, **more: str) -> None:
        """Add a node that is nothing but a table."""
        self._graph.node(name, table(*rows), shape="plain", **more)

    def edge(self, tail: str, head: str, **more: str) -> None:
        """Add an edge; `name:port:side` is allowed at both ends."""
        self._graph.edge(tail, head, **more)

    def group(self, names: Sequence[str], **attributes: str) -> None:
        """Draw the named nodes inside one frame (or keep them on one rank, with `rank="same"`)."""
        kind = "side_by_side" if "rank" in attributes else "cluster_legend"
        with self._graph.subgraph(name=kind) as part:
            part.attr(**attributes)
            for name in names:
                part.node(name)

    @property
    def dot(self) -> str:
        """The DOT text: the same bytes for the same calls."""
        return str(self._graph.source)
