"""The balance of benches/balance.rs' kind closed by SciPy, as called from Python.

    python3 balance_peer.py [FOLDER]

Needs scipy==1.17.1. The relations are those of data/reference/balance-scipy.py, which also checks our answers; each point
starts from the one before, as on our line. Prints one JSON line per row: seconds for one point, the best of several
rounds, and calls of the relations. With criterion's FOLDER (target/criterion after `cargo bench --bench balance`) it
prints the ratio to our further point of a line and to a whole line. The gases are mixed and the map is read beforehand on
both sides. SciPy builds the cubics across the lines again for every call, since they depend on the position.
"""

import importlib.util
import json
import pathlib
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent
SPEC = importlib.util.spec_from_file_location("balance", HERE.parent / "data" / "reference" / "balance-scipy.py")
balance = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(balance)

ROUNDS = 7
SPEEDS = [4100.0 + 110.0 * k for k in range(30)]


def line():
    """Points, and calls of the relations, of 30 regulated speeds at 200 kPa."""
    calls, start = 0, balance.STARTS[0]
    for rpm in SPEEDS:
        found = balance.root(balance.gaps, start, ("hold", 600e-6, rpm, 200e3), tol=1e-9)
        assert max(map(abs, found.fun)) < 1e-8, (rpm, found.message)
        calls, start = calls + found.nfev, found.x
    return calls


def median(folder, work):
    for path in pathlib.Path(folder).glob("**/new/estimates.json"):
        if json.loads(path.with_name("benchmark.json").read_text())["full_id"] == work:
            return json.loads(path.read_text())["median"]["point_estimate"] * 1e-9
    sys.exit(f"balance_peer.py: no benchmark named {work} in {folder}")


def main():
    best = float("inf")
    for _ in range(ROUNDS):
        begin = time.process_time()
        calls = line()
        best = min(best, time.process_time() - begin)
    peer = f"SciPy {balance.scipy.__version__}, root"
    print(json.dumps({"work": "one point of a line", "peer": peer, "seconds": best / 30, "calls": calls / 30}))
    print(json.dumps({"work": "a line of 30 speeds", "peer": peer, "seconds": best, "calls": calls}))
    if len(sys.argv) > 1:
        one, three, whole = (median(sys.argv[1], work) for work in
                             ["one point, cold", "three points", "a line of 30 regulated speeds"])
        further = (three - one) / 2
        print("\nwork | ours us | peer us | ratio\n---|---|---|---")
        print(f"a further point of a line | {further * 1e6:.1f} | {best / 30 * 1e6:.0f} | {best / 30 / further:.0f}")
        print(f"a line of 30 speeds | {whole * 1e6:.0f} | {best * 1e6:.0f} | {best / whole:.0f}")


if __name__ == "__main__":
    main()
