"""Makes one page of a chart that works in a browser without a network: guided, saved, printable.

Everything is in the one file. Its policy forbids any connection and any script but its own, by digest;
words from the library are data and never markup.
"""

from __future__ import annotations

import base64
import hashlib
import html
import json
from collections.abc import Mapping
from importlib import resources
from string import Template
from typing import Any

from kickover.documents import text
from kickover.documents.charts.chart import Branch, Chart, FinishingList, Node, NodeKind
from kickover.documents.charts.chart_order import in_order, numbered
from kickover.documents.charts.list_text import HEADINGS, heading_lines, row_cells
from kickover.documents.charts.page_lists import ListStage, list_nodes
from kickover.documents.charts.sheet_text import FIRST
from kickover.documents.model_wording import chance_words, limits_words, minutes_words
from kickover.documents.shapes import svg_path, warning_triangle

_USE_SIGN = '<svg aria-hidden="true"><use href="#sign-shape"/></svg>'


def chart_page(chart: Chart, date: str) -> str:
    """The page as HTML text: the same for the same chart and date."""
    style, script = _part("page.css"), _part("page.js")
    data, numbers = _data(chart), numbered(chart)
    return Template(_part("page.html")).substitute(
        policy=_policy(style, script),
        title=_shown(f"{chart.complaint} – {chart.machine}"),
        style=style,
        script=script,
        complaint=_shown(chart.complaint),
        machine=_shown(chart.machine),
        library=_shown(chart.library),
        date=_shown(date),
        first=_shown(FIRST),
        notes="".join(f"<p>{_shown(note)}</p>" for note in chart.notes),
        steps="\n".join(
            _step(chart, node, numbers) for node in in_order(chart) if node.kind is not NodeKind.LIST
        ),
        lists="\n".join(_list(chart, listed) for listed in chart.lists),
        tools=_tools(chart),
        limits=_limits(chart),
        sign=_sign_shape(),
        use_sign=_USE_SIGN,
        data=_script_safe(json.dumps(data, ensure_ascii=False, sort_keys=True)),
    )


def _part(name: str) -> str:
    return (
        resources.files("kickover.documents.charts").joinpath("page_parts", name).read_text(encoding="utf-8")
    )


def _policy(style: str, script: str) -> str:
    return (
        f"default-src 'none'; style-src '{_digest(style)}'; script-src '{_digest(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )


def _digest(part: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()


def _shown(words: str) -> str:
    return html.escape(text.clean(words))


def _script_safe(data: str) -> str:
    """JSON that cannot end the script element that holds it, nor open a comment in it."""
    return data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _data(chart: Chart) -> dict[str, Any]:
    numbers = numbered(chart)
    data: dict[str, Any] = {
        "start": chart.start,
        "nodes": [
            *(_node(node, numbers) for node in in_order(chart) if node.kind is not NodeKind.LIST),
            *(_plain(node) for listed in chart.lists for node in list_nodes(listed)),
        ],
        "cautions": [
            {"id": caution.id, "title": text.clean(caution.title), "words": text.clean(caution.words)}
            for caution in chart.cautions
        ],
    }
    whole = json.dumps([chart.complaint, chart.machine, data], sort_keys=True).encode(errors="replace")
    return {**data, "key": hashlib.sha256(whole).hexdigest()[:16]}


def _plain(stage: ListStage) -> dict[str, Any]:
    """A stage of a list, as a node of the walk."""
    return {
        **_node(stage.node, {}),
        "place": text.clean(stage.place),
        "stops": [text.clean(stop) for stop in stage.stops],
    }


def _node(node: Node, numbers: Mapping[str, int]) -> dict[str, Any]:
    reading = node.reading
    return {
        "id": node.id,
        "place": f"Step {numbers[node.id]}" if node.id in numbers else "",
        "stops": [],
        "kind": node.kind.value,
        "title": text.clean(node.title),
        "minutes": node.minutes,
        "note": text.clean(node.note),
        "lines": [text.clean(line) for line in node.lines],
        "tools": [text.clean(tool) for tool in node.tools],
        "cautions": list(node.cautions),
        "sketch": _sketch(node),
        "reading": None
        if reading is None
        else {
            "unit": reading.unit,
            "least": reading.least,
            "most": reading.most,
            "units": [{"name": unit.name, "times": unit.times, "plus": unit.plus} for unit in reading.units],
        },
        "branches": [_branch(branch) for branch in node.branches],
    }


def _branch(branch: Branch) -> dict[str, Any]:
    return {
        "label": text.clean(branch.label),
        "chance": chance_words(branch.probability),
        "target": branch.target,
        "low": branch.low,
        "high": branch.high,
        "stop": text.clean(branch.stop),
    }


def _sketch(node: Node) -> str:
    return "\n".join(text.printable_mono(line) for line in node.sketch.splitlines())


def _sign_shape() -> str:
    sign = warning_triangle(100)
    return (
        '<svg hidden><symbol id="sign-shape" viewBox="0 0 100 90">'
        f'<path class="edge" stroke-width="{sign.edge_width:g}" d="{svg_path(sign.edge)}"/>'
        f'<path class="mark" d="{svg_path(sign.bar)}{svg_path(sign.dot)}"/></symbol></svg>'
    )


def _step(chart: Chart, node: Node, numbers: Mapping[str, int]) -> str:
    number = numbers[node.id]
    facts = [node.kind.replace("-", " "), minutes_words(node.minutes) if node.minutes else "", node.note]
    parts = [
        f'<article id="step-{number}"><h3>{number}. {_shown(node.title)}</h3>',
        f'<p class="note">{_shown(" · ".join(fact for fact in facts if fact))}</p>',
    ]
    for id_ in node.cautions:
        caution = chart.caution(id_)
        parts.append(_warning("caution", caution.title, caution.words))
    if node.tools:
        parts.append(f"<p>Tools: {_shown(', '.join(node.tools))}</p>")
    if node.lines:
        parts.append("<ol>" + "".join(f"<li>{_shown(line)}</li>" for line in node.lines) + "</ol>")
    if node.sketch:
        parts.append(f"<pre>{html.escape(_sketch(node))}</pre>")
    if node.branches:
        parts.append(
            "<ul>" + "".join(_way(chart, node, branch, numbers) for branch in node.branches) + "</ul>"
        )
    return "".join((*parts, "</article>"))


def _warning(kind: str, title: str, words: str) -> str:
    return f'<div class="{kind}">{_USE_SIGN}<p><strong>{_shown(title)}:</strong> {_shown(words)}</p></div>'


def _way(chart: Chart, node: Node, branch: Branch, numbers: Mapping[str, int]) -> str:
    words = ", ".join(one for one in (branch.label, limits_words(node, branch)) if one)
    chance = f" ({chance_words(branch.probability)})" if len(node.branches) > 1 else ""
    stop = _warning("stop", "Stop", branch.stop) if branch.stop else ""
    return f"<li>{_shown(words + chance)} → {_leads_to(chart, branch, numbers)}{stop}</li>"


def _leads_to(chart: Chart, branch: Branch, numbers: Mapping[str, int]) -> str:
    if branch.target is None:
        return "solved"
    if chart.node(branch.target).kind is NodeKind.LIST:
        letter = chart.list_at(branch.target).letter
        return f'<a href="#list-{letter}">see list {letter}</a>'
    verb = "give up" if chart.node(branch.target).kind is NodeKind.GIVE_UP else "go on at"
    return f'<a href="#step-{numbers[branch.target]}">{verb} {numbers[branch.target]}</a>'


def _list(chart: Chart, listed: FinishingList) -> str:
    """A list as a table, with the cautions that its rows name."""
    title, *lines = heading_lines(chart, listed)
    cautions = (chart.caution(caution) for caution in listed.cautions)
    head = "".join(f'<th scope="col">{_shown(one or "Row")}</th>' for one in HEADINGS)
    rows = "".join(
        "<tr>"
        + "".join(
            f"<td>{'<br>'.join(_shown(line) for line in cell)}</td>" for cell in row_cells(chart, row, number)
        )
        + "</tr>"
        for number, row in enumerate(listed.rows, 1)
    )
    return (
        f'<section id="list-{listed.letter}" aria-labelledby="list-{listed.letter}-title">'
        f'<h3 id="list-{listed.letter}-title">{_shown(title)}</h3>'
        + "".join(f"<p>{_shown(line)}</p>" for line in lines)
        + f'<div class="wide" tabindex="0" role="region" aria-label="List {listed.letter} as a table">'
        + f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>"
        + "".join(_warning("caution", caution.title, caution.words) for caution in cautions)
        + "</section>"
    )


def _tools(chart: Chart) -> str:
    named = {tool for node in in_order(chart) for tool in node.tools}
    named |= {tool for listed in chart.lists for row in listed.rows for tool in row.tools}
    tools = sorted(named, key=str.casefold)
    items = "".join(f"<li>{_shown(tool)}</li>" for tool in tools)
    return f"<h2>Tools and spares</h2><ul>{items}</ul>" if items else ""


def _limits(chart: Chart) -> str:
    if not chart.limits:
        return ""
    rows = "".join(
        f"<tr><td>{_shown(row.title)}</td><td>{_shown(row.limit)}</td><td>{_shown(row.source)}</td></tr>"
        for row in chart.limits
    )
    head = "<tr><th>What is measured</th><th>Limit</th><th>Source</th></tr>"
    return f"<h2>Limits for this machine</h2><table>{head}{rows}</table>"
