"""A page of a notebook for readers without Rust."""

from __future__ import annotations

from pathlib import Path

from nbconvert import HTMLExporter
from nbformat import NotebookNode

import places

# The exporter sets figures as images and fits only those that are none.
FITTING = "<style>.jp-RenderedSVG img { max-width: 100%; height: auto }</style>"


def write(name: str, notebook: NotebookNode) -> Path:
    # Nothing is loaded over the network: there are no widgets, and equations are MathML, which browsers set.
    exporter = HTMLExporter(require_js_url="", jquery_url="", mathjax_url="", exclude_input_prompt=False)
    text, _ = exporter.from_notebook_node(notebook, resources={"metadata": {"name": Path(name).stem}})
    text = text.replace("</head>", f"{FITTING}</head>", 1)
    path = places.PAGES / Path(name).with_suffix(".html")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
