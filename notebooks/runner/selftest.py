"""Proves, through the real kernel, that each kind of failure is refused at the right place.

The seeds are edits of the notebook in tests/fixtures/notebooks, one cell each. Three kernels run at a
time, so that this is proved too.
"""

from __future__ import annotations

import base64
import copy
import os
import signal
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from nbformat import NotebookNode
from nbformat.v4 import new_code_cell

import compare
import execute
import files
import kept_build
import places
import selftest_types
import selftest_whole
from failure import Failure
from session import Kernel, KernelDied

FIXTURE = places.ROOT / "tests" / "fixtures" / "notebooks" / "small.ipynb"
LIMIT = execute.CELL_LIMIT
ENDLESS_LIMIT = 10.0
LONGEST_BUILD = 600.0


@dataclass
class Seed:
    name: str
    cell: int
    source: str
    kind: str
    line: int | None
    words: str


SEEDS = [
    Seed("assertion", 3, "let low = 1.0;\n\nassert!(low > 2.0);\nlow", "failed assertion", 3, "low > 2.0"),
    Seed("equality", 3, "let low = 1;\nassert_eq!(low, 2);", "failed assertion", 2, "left == right"),
    Seed(
        "own words",
        3,
        'assert!(\n    pressure.kpa() > 300.0,\n    "too low"\n);',
        "failed assertion",
        1,
        "too low",
    ),
    Seed(
        "question mark",
        2,
        'let t = "2O3";\nlet p = kpa(t.parse()?);\np',
        "error from `?`",
        2,
        "invalid float",
    ),
    Seed(
        "two of them",
        2,
        'let t: f64 = "2O3".parse()?;\nPressureRatio::new(t)?',
        "error from `?`",
        None,
        "1, 2",
    ),
    Seed("panic", 2, "let none: Option<f64> = None;\nlet p = kpa(none.unwrap());\np", "panic", 2, "None"),
    Seed(
        "compile error",
        3,
        'let ratio = 2.0;\nlet wrong: f64 = "two";',
        "compile error",
        2,
        "mismatched types",
    ),
    Seed("syntax", 2, "let pressure = kpa(203.0)\n\npressure", "compile error", 1, "expected `;`"),
    Seed("exit", 2, "let pressure = kpa(203.0);\nstd::process::exit(0);", "stopped", None, "exit status: 0"),
    Seed("endless", 3, "let ratio = 1.0;\nloop {}", "stopped", None, "still running after"),
    Seed("stderr", 3, 'eprintln!("odd");\n1.0', "text on stderr", None, "odd"),
    Seed("not a number", 3, "let zero = 0.0;\nzero / zero", "not a number", None, "NaN"),
]

HEALTHY = [
    ("fn twice(x: f64) -> f64 {\n    2.0 * x\n}", ""),
    ("use std::collections::HashMap;", ""),
    ("// only a remark", ""),
    ("/// Documented.\nstruct Named(f64);", ""),
    ("let named = Named(twice(1.0)); // nothing shown\nlet _ = named.0;", ""),
    ("// A remark first.\n\nif named.0 > 1.0 { pressure } else { kpa(1.0) }", "203.0 kPa (29.4 psia)"),
    ('println!("text");\nvec![Some(1.5), None]', "text\n[Some(1.5), None]"),
    ("for n in 0..2 { assert!(n < 2); }", "()"),
    ("", ""),
    ("pressure.kpa() + twice(2.0)", "207.0"),
]
"""Cells of each kind with what they show; none may be refused."""


def run(more: bool) -> int:
    """The number of checks that fail decides; `more` are those that take minutes."""
    checks: list[tuple[str, Callable[[], str]]] = [(seed.name, partial(refused, seed)) for seed in SEEDS]
    checks += [("healthy cells", healthy), ("changed number", changed)]
    checks += [("units kept", units_kept), ("types found", selftest_types.found)]
    failed = 0
    with ThreadPoolExecutor(3) as pool:
        answers = pool.map(lambda check: check[1](), checks)
        for (name, _), words in zip(checks, answers):
            failed += report(name, words)
    # Alone: they look at what others leave running, or touch the library that others build.
    alone: list[tuple[str, Callable[[], str]]] = [("killed kernel", killed), ("edited library", edited)]
    alone += [("Ctrl-C", partial(selftest_whole.ended_by, signal.SIGINT))]
    alone += [("terminated", partial(selftest_whole.ended_by, signal.SIGTERM))]
    if more:
        alone += [("picture", picture), ("JupyterLab", selftest_whole.lab)]
        alone += [("path with a space", selftest_whole.space)]
    for name, check in alone:
        failed += report(name, check())
    every = len(checks) + len(alone)
    print(f"{every - failed} of {every} checks hold", flush=True)
    return 1 if failed else 0


def report(name: str, words: str) -> bool:
    print(f"  {name:17} {words or 'as it should be'}", flush=True)
    return bool(words)


def refused(seed: Seed) -> str:
    """Empty where the failure is found at its place, else what went wrong."""
    content = files.read(FIXTURE)
    files.code_cells(content)[seed.cell - 1].source = seed.source
    name = f"{seed.name}.ipynb"
    try:
        execute.notebook(name, content, lambda line: None, ENDLESS_LIMIT if seed.name == "endless" else LIMIT)
    except Failure as found:
        place = (found.notebook, found.kind, found.cell, found.line)
        if place == (name, seed.kind, seed.cell, seed.line) and seed.words in found.message:
            return ""
        return f"wrong place or words: {found}"
    return "not refused"


def healthy() -> str:
    content = files.read(FIXTURE)
    content.cells += [new_code_cell(source) for source, _ in HEALTHY]
    fresh = execute.notebook("healthy.ipynb", content, lambda line: None, LIMIT)
    for (source, wanted), outputs in zip(HEALTHY, fresh.outputs[-len(HEALTHY) :]):
        found = "\n".join(shown(output) for output in outputs)
        if found != wanted:
            return f"`{source}` shows `{found}`"
    return ""


def shown(output: NotebookNode) -> str:
    return (output.get("text") or output.data["text/plain"]).strip()


def changed() -> str:
    """A committed number that no cell prints any more is found; so is an output too many."""
    content = files.read(FIXTURE)
    fresh = execute.notebook("changed.ipynb", content, lambda line: None, LIMIT).outputs
    committed = files.code_cells(files.with_outputs(copy.deepcopy(content), copy.deepcopy(fresh)))[1].outputs
    if words := compare.difference(committed, fresh[1]):
        return f"equal outputs differ: {words}"
    committed[0].data["text/plain"] = committed[0].data["text/plain"].replace("203.0", "203.1")
    words = compare.difference(committed, fresh[1])
    if words != "text/plain: `203.1 kPa (29.4 psia)` is now `203.0 kPa (29.4 psia)`":
        return f"a changed number gives `{words}`"
    return "" if compare.difference([], fresh[1]) and compare.difference(committed * 2, fresh[1]) else "shape"


def units_kept() -> str:
    """What a session chooses holds in its next cell, and not in the next session."""
    first, second, _ = [cell.source for cell in files.code_cells(files.read(FIXTURE))]
    for cells, wanted in [
        (["show_units(Units::Trade)?;", "pressure"], "29.4 psia"),
        (["pressure"], "203.0 kPa (29.4 psia)"),
    ]:
        with Kernel(places.LOGS / "units.log") as kernel:
            for source in (first, second, *cells):
                outputs = kernel.run(source, execute.FIRST_LIMIT).outputs
            found = "".join(map(shown, outputs))
            if found != wanted:
                return f"`{found}` in place of `{wanted}`"
    return ""


def picture() -> str:
    """With the feature `png` a figure shows itself as a PNG of the width asked for."""
    first, *_ = [cell.source for cell in files.code_cells(files.read(FIXTURE))]
    cells = [
        first.replace('"notebook"', '"notebook", "png"'),
        'let figure = shaftwork::chart::bars("Masses", "mass, kg", &[("cooler", 4.2), ("oil", 1.5)])?;',
        "figure.png(640)?",
    ]
    with Kernel(places.LOGS / "picture.log") as kernel:
        for source in cells:
            outputs = kernel.run(source, LONGEST_BUILD).outputs
    shown = [output.data.get("image/png", "") for output in outputs if "data" in output]
    if len(shown) != 1 or not shown[0]:
        return f"it shows {[output.get('evalue') or list(output.get('data', {})) for output in outputs]}"
    bytes_shown = base64.b64decode(shown[0])
    width = int.from_bytes(bytes_shown[16:20], "big")
    good = bytes_shown.startswith(b"\x89PNG\r\n\x1a\n") and width == 640
    return "" if good else f"{width} pixels wide, {bytes_shown[:8]!r}"


def killed() -> str:
    """A kernel that was killed leaves a folder that the next one can use."""
    first, *_ = [cell.source for cell in files.code_cells(files.read(FIXTURE))]
    with Kernel(places.LOGS / "killed.log") as kernel:
        kernel.run(first, execute.FIRST_LIMIT)
        where = execute.build_folder(kernel)
        os.killpg(kernel.process(), signal.SIGKILL)
        try:
            kernel.run("1", LIMIT)
        except KernelDied:
            pass
        else:
            return "it still answers"
    lock = kept_build.locked(where.parent.with_suffix(".lock"))
    if lock is None:
        return f"{where.parent} is still locked"
    os.close(lock)
    return ""


def edited() -> str:
    """A kernel does not mix two builds of the library, and says so. The file's time is set back after."""
    library = places.ROOT / "src" / "lib.rs"
    times = library.stat()
    first, second, _ = [cell.source for cell in files.code_cells(files.read(FIXTURE))]
    with Kernel(places.LOGS / "edited.log") as kernel:
        for source in (first, second):
            kernel.run(source, execute.FIRST_LIMIT)
        os.utime(library)
        try:
            outputs = kernel.run("pressure", LIMIT).outputs
        finally:
            os.utime(library, ns=(times.st_atime_ns, times.st_mtime_ns))
    words = [output.evalue for output in outputs if output.output_type == "error"]
    return "" if "restart the kernel" in "".join(words) else f"the kernel says {words or outputs}"
