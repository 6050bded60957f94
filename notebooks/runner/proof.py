"""The proof that a cell reached its end.

The kernel says *ok* of a cell that panicked, whose assertion failed or whose `?` met an error. But it
keeps the variables that a cell defines only if the cell ran to its end. So each cell gets one more
variable, at run time only, and the kernel is then asked for its variables. That changes nothing of
what the cell shows, and costs no compilation. `notebooks/run --self-test` proves that it holds.
"""

from __future__ import annotations

from nbformat import NotebookNode

ASK = ":vars"


def name(cell: int) -> str:
    return f"notebook_cell_{cell}_ended"


def statement(cell: int) -> str:
    return f"let {name(cell)}: bool = true; "


def with_proof(source: str, cell: int) -> str:
    """The cell with the statement before its first line of Rust: no line moves.

    The kernel's commands stand before that line, and remarks may.
    """
    lines = source.split("\n")
    for index, line in enumerate(lines):
        remark = line.startswith("//") and not line.startswith(("///", "//!"))
        if line.strip() and not remark and not line.lstrip(" ").startswith(":"):
            lines[index] = statement(cell) + line
            return "\n".join(lines)
    return source + "\n" + statement(cell)


def ended(answer: list[NotebookNode], cell: int) -> bool:
    """Whether the kernel's answer to ASK has the cell's variable."""
    lines = [line for output in answer for line in plain(output).splitlines()]
    return f"{name(cell)}: bool" in lines


def plain(output: NotebookNode) -> str:
    return output.get("data", {}).get("text/plain", "")
