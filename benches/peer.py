"""The three works of benches/gas.rs through Cantera and CoolProp, as called from Python.

    python3 peer.py

Needs cantera==3.2.0 and CoolProp==8.0.0; another version runs, with a note. One JSON line per row:
seconds for one state, the best of several rounds. Every call gets another temperature than the
one before, since a library may keep what it last computed. Numbers already read, tables already
loaded, objects already made: only the state is set and read.
"""

import importlib.metadata
import json
import sys
import timeit

WANTED = {"cantera": "3.2.0", "CoolProp": "8.0.0"}
CP_AND_H = "cp and h of a seven-species mixture"
END_STATE = "isentropic end state"
PRODUCTS = "products of a rich mixture"
SPECIES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]
AIR = {"N2": 0.78084, "O2": 0.209476, "Ar": 0.00934, "CO2": 0.000314}
# CH1.85 burned at lambda 0.85 in that air, x_CO x_H2O / (x_CO2 x_H2) = 3.5
EXHAUST = [0.70039, 0.0, 0.00838, 0.10208, 0.12284, 0.04935, 0.01697]
RATIO = 2.5
ROUNDS, SECONDS_A_ROUND = 40, 0.05


def versions():
    """The installed versions; ends with a message when a package is missing."""
    found = {}
    for name, wanted in WANTED.items():
        try:
            found[name] = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            found[name] = None
        if found[name] not in (wanted, None):
            print(f"peer.py: {name} {found[name]} found, {wanted} expected", file=sys.stderr)
    missing = [f"{name}=={WANTED[name]}" for name, version in found.items() if version is None]
    if missing:
        sys.exit(f"peer.py: not installed for {sys.executable}: {' '.join(missing)}")
    return found


def best(states, one):
    """Seconds for one state: the best round of many."""

    def all_states():
        for state in states:
            one(state)

    timer = timeit.Timer(all_states)
    once = timer.timeit(1)
    number = max(1, round(SECONDS_A_ROUND / once))
    return min(timer.repeat(ROUNDS, number)) / (number * len(states))


def main():
    found = versions()
    import cantera as ct
    import CoolProp.CoolProp as cp
    import numpy as np

    cantera, coolprop = f"Cantera {found['cantera']}", f"CoolProp {found['CoolProp']}"

    def row(work, peer, states, one):
        print(json.dumps({"work": work, "peer": peer, "seconds": best(states, one)}), flush=True)

    by_name = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
    gas = ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in SPECIES])
    six = ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in SPECIES if name != "O2"])
    air = cp.AbstractState("HEOS", "Air")
    exhaust = np.array(EXHAUST)  # the door that is fastest: a list takes three times as long
    elements = exhaust[[name != "O2" for name in SPECIES]]
    temperatures = [300.0 + 10.0 * i for i in range(100)]

    def composition_and_state(t):
        gas.TPX = t, 1e5, exhaust
        return gas.cp_mass, gas.enthalpy_mass

    def state_only(t):
        gas.TP = t, 1e5
        return gas.cp_mass, gas.enthalpy_mass

    def low_level(t):
        air.update(cp.PT_INPUTS, 1e5, t)
        return air.cpmass(), air.hmass()

    def high_level(t):
        return cp.PropsSI("C", "T", t, "P", 1e5, "Air"), cp.PropsSI("H", "T", t, "P", 1e5, "Air")

    row(CP_AND_H, f"{cantera}, TPX", temperatures, composition_and_state)
    row(CP_AND_H, f"{cantera}, TP, composition kept", temperatures, state_only)
    row(CP_AND_H, f"{coolprop}, AbstractState, real air", temperatures, low_level)
    row(CP_AND_H, f"{coolprop}, PropsSI, real air", temperatures, high_level)

    inlets = [280.0 + 0.5 * i for i in range(100)]
    gas.X = AIR

    def by_entropy(t):
        gas.TP = t, 1e5
        gas.SP = gas.entropy_mass, RATIO * 1e5
        return gas.T

    def by_entropy_real(t):
        air.update(cp.PT_INPUTS, 1e5, t)
        air.update(cp.PSmass_INPUTS, RATIO * 1e5, air.smass())
        return air.T()

    row(END_STATE, f"{cantera}, SP", inlets, by_entropy)
    row(END_STATE, f"{coolprop}, AbstractState, real air", inlets, by_entropy_real)

    def equilibrium(t):
        six.TPX = t, 1e5, elements
        six.equilibrate("TP")
        return six.X

    row(PRODUCTS, f"{cantera}, equilibrate", [1200.0 + 10.0 * i for i in range(100)], equilibrium)


if __name__ == "__main__":
    main()
