"""Proves that variables of the types a notebook uses are kept without their type written out.

The kernel's analyser finds the types. It reads less than the compiler does (small_library.py, lean_library.py,
own_code.py): what it no longer finds is refused here.
"""

from __future__ import annotations

import execute
import files
import places
from session import Kernel

FIXTURE = places.ROOT / "tests" / "fixtures" / "notebooks" / "small.ipynb"

USES = """use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet, VecDeque};
use std::rc::Rc;
use std::cell::{Cell, RefCell};
use std::sync::{Arc, Mutex, mpsc};
use std::time::{Duration, Instant};
use std::path::PathBuf;"""

FOUND = {
    "list": "vec![3.0, 1.0, 2.0]",
    "text": 'format!("{} and {:.1}", 1, 2.0)',
    "root": "(list[0] * 2.0_f64).sqrt().powf(1.5).max(0.1).clamp(0.0, 9.0)",
    "angle": "1.0_f64.to_radians().sin_cos()",
    "shifted": "7_u32.wrapping_add(3).pow(2).leading_zeros()",
    "total": "list.iter().sum::<f64>()",
    "squares": "list.iter().map(|x| x * x).collect::<Vec<_>>()",
    "pairs": "list.iter().zip(squares.iter()).enumerate().map(|(n, (a, b))| (n, a + b)).collect::<Vec<_>>()",
    "kept": "(0..10).step_by(3).filter(|n| n % 2 == 0).rev().collect::<VecDeque<_>>()",
    "largest": "squares.iter().copied().fold(f64::NEG_INFINITY, f64::max)",
    "windows": "squares.windows(2).map(|w| w[1] - w[0]).collect::<Vec<_>>()",
    "sorted": "{ let mut copy = squares.clone(); copy.sort_by(|a, b| a.total_cmp(b)); copy }",
    "place": "sorted.binary_search_by(|x| x.total_cmp(&4.0))",
    "table": '["a", "b"].into_iter().map(|k| (k.to_string(), k.len() as f64)).collect::<HashMap<_, _>>()',
    "ordered": '["b", "a"].into_iter().map(|k| (k.to_string(), 1.0)).collect::<BTreeMap<_, _>>()',
    "names": "ordered.keys().cloned().collect::<BTreeSet<_>>()",
    "values": "table.values().sum::<f64>()",
    "got": 'ordered.get("a").copied()',
    "first": "list.first().copied()",
    "both": "first.zip(Some(2)).ok_or(1_u8)",
    "words": "text.split(' ').map(str::to_uppercase).collect::<Vec<_>>()",
    "joined": 'words.join("; ")',
    "number": '"2.5".trim().parse::<f64>()?',
    "strict": '["1", "2"].iter().map(|t| t.parse::<i64>()).collect::<Result<Vec<_>, _>>()?',
    "whole": '"12".parse::<usize>()?',
    "applied": "(|x: f64| x + 1.0)(2.0)",
    "begin": "Instant::now()",
    "waited": "begin.elapsed() + Duration::from_millis(5)",
    "seconds": "waited.as_secs_f64()",
    "shared": "Rc::new(RefCell::new(vec![1, 2]))",
    "locked": "Arc::new(Mutex::new(0_usize))",
    "counted": "Cell::new(3)",
    "boxed": "Box::new([1.0; 4])",
    "unique": "words.iter().cloned().collect::<HashSet<_>>()",
    "path": 'PathBuf::from("..").join("Cargo.toml")',
    "read": "std::fs::read_to_string(&path)?",
    "lines": "read.lines().count()",
    "folder": "std::env::temp_dir()",
    "joined_thread": "std::thread::spawn(|| 2 + 2).join().unwrap()",
    "letters": '"Ab".chars().map(|c| c.to_ascii_lowercase()).collect::<String>()',
    "doubled": "pressure * 2.0",
    "bare": "doubled.kpa()",
    "pressures": "[1.0, 2.0].map(kpa)",
}
"""Values by the name of the variable that holds them. `pressure` is the fixture's, of this library.

The keys of a `HashMap` are not among them: the analyser finds no type for them as installed either."""


def found() -> str:
    """Each cell makes its variables; the last uses them all, so that none has been lost on the way."""
    first, second, _ = [cell.source for cell in files.code_cells(files.read(FIXTURE))]
    lines = [f"let {name} = {value};" for name, value in FOUND.items()]
    cells = [first, second, USES, *("\n".join(lines[n : n + 14]) for n in range(0, len(lines), 14))]
    cells.append("".join(f"let _ = &{name};" for name in FOUND) + '"all"')
    with Kernel(places.LOGS / "types.log") as kernel:
        for cell in cells:
            outputs = kernel.run(cell, execute.FIRST_LIMIT).outputs
            for output in outputs:
                if output.output_type == "error" or output.get("name") == "stderr":
                    return f"{output.get('evalue') or output.text} in `{cell}`"
    shown = [output.data.get("text/plain") for output in outputs if "data" in output]
    return "" if shown == ['"all"'] else f"the last cell shows {outputs}"
