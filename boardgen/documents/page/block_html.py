"""Each kind of block as HTML.

A book has some thousand cells: written here rather than by the page's template they take a third of the time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from markupsafe import Markup, escape

from boardgen.documents.page.blocks import (
    Block,
    Caution,
    Column,
    Group,
    Items,
    Picture,
    Table,
    Terms,
    Ticks,
    Words,
)
from boardgen.documents.page.spelling import Spelling

_PROLOGUE = re.compile(r"\A(?:\s*<\?xml.*?\?>|\s*<!DOCTYPE.*?>)*\s*", re.DOTALL)


def block_html(block: Block, say: Spelling, level: int) -> Markup:
    """The block with its words set and escaped; `level` is that of the heading which a group would have."""

    def html(words: str) -> str:
        return escape(say(words))

    return Markup(_WRITERS[type(block)](block, html, level, say))  # noqa: S704 - every text in it has been escaped


Html = Callable[[str], str]
"""Sets words and escapes them."""


def _words(block: Words, html: Html, *_: object) -> str:
    return f"<p>{html(block.words)}</p>\n"


def _table(block: Table, html: Html, *_: object) -> str:
    caption = html(block.caption)
    stacked, role = (" stacked", ' role="table"') if block.stacked else ("", "")
    heads = "".join(f'<th scope="col" class="{c.kind}">{html(c.heading)}</th>' for c in block.columns)
    writers = [_cell(column, html, n == block.head, block.stacked) for n, column in enumerate(block.columns)]
    rows = [
        f"<tr>{''.join(write(words) for write, words in zip(writers, row, strict=True))}</tr>\n" for row in block.rows
    ]
    return (
        f'<figure class="table{stacked}"><figcaption>{caption}</figcaption>\n'
        f'<div class="scroll" tabindex="0" role="region" aria-label="{caption}"><table{role}>\n'
        f"<thead><tr>{heads}</tr></thead>\n<tbody>\n{''.join(rows)}</tbody></table></div></figure>\n"
    )


def _cell(column: Column, html: Html, heads: bool, stacked: bool) -> Callable[[str], str]:
    """What writes the cells of a column."""
    if column.kind == "tick":
        box = '<td class="tick"><input type="checkbox" aria-label="{}"></td>'
        return lambda words: box.format(html(words)) if words else '<td class="tick"></td>'
    name, scope = ("th", " scope=row") if heads else ("td", "")
    narrow = " narrow" if column.narrow else ""
    label = f' data-label="{escape(column.heading)}"' if stacked else ""
    start, end = f'<{name}{scope} class="{column.kind}{narrow}"{label}>', f"</{name}>"
    write: Html = escape if column.kind == "code" else html
    return lambda words: f"{start}{write(words)}{end}"


def _picture(block: Picture, html: Html, *_: object) -> str:
    sheet, low = " sheet" if block.sheet else "", " low" if block.low else ""
    fits, reached = ("scroll wide", ' tabindex="0"') if block.wide else ("fit", "")
    caption = f"<figcaption>{html(block.caption)}</figcaption>" if block.caption else ""
    # a drawing of ours, its words escaped there, without the lines that only a file of its own needs
    drawing = _PROLOGUE.sub("", block.svg, count=1).rstrip()
    return (
        f'<figure class="picture{sheet}"><div class="{fits}{low}" role="img" aria-label="{html(block.shows)}"{reached}>'
        f"{drawing}</div>{caption}</figure>\n"
    )


def _items(block: Items, html: Html, *_: object) -> str:
    name = "ol" if block.numbered else "ul"
    return f"<{name}>{_list(block.items, html)}</{name}>\n"


def _list(items: tuple[str, ...], html: Html) -> str:
    return "".join(f"<li>{html(item)}</li>" for item in items)


def _ticks(block: Ticks, html: Html, *_: object) -> str:
    box = '<li><label><input type="checkbox"><span>{}</span></label></li>'
    across = " across" if block.across else ""
    return f'<ul class="ticks{across}">{"".join(box.format(html(item)) for item in block.items)}</ul>\n'


def _terms(block: Terms, html: Html, *_: object) -> str:
    pairs = "".join(f"<div><dt>{html(name)}</dt><dd>{html(words)}</dd></div>" for name, words in block.pairs)
    return f"<dl>{pairs}</dl>\n"


def _caution(block: Caution, html: Html, *_: object) -> str:
    kind = block.heading
    says = f'<p class="says">{kind.capitalize()}</p>'
    return f'<div class="caution {kind}">{says}<ul>{_list(block.items, html)}</ul></div>\n'


def _group(block: Group, html: Html, level: int, say: Spelling) -> str:
    inner = "".join(block_html(one, say, level + 1) for one in block.blocks)
    return f'<section class="group"><h{level}>{html(block.title)}</h{level}>\n{inner}</section>\n'


_WRITERS: Mapping[type, Callable[[Any, Html, int, Spelling], str]] = {
    Words: _words,
    Table: _table,
    Picture: _picture,
    Items: _items,
    Ticks: _ticks,
    Terms: _terms,
    Caution: _caution,
    Group: _group,
}
