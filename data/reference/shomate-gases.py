"""Heat capacity of the gases of air and exhaust by Shomate's equation, NIST Chemistry WebBook.

    python3 shomate-gases.py > shomate-gases.csv

Needs chemicals==1.5.2, which carries the coefficients; here they are brought back to the form of the WebBook:
cp = a + b t + c t^2 + d t^3 + e/t^2 in J/(mol K) with t = T/(1000 K).
"""

import chemicals
from chemicals.heat_capacity import WebBook_Shomate_gases
from chemicals.identifiers import CAS_from_any

assert chemicals.__version__ == "1.5.2", chemicals.__version__

GASES = {"N2": "nitrogen", "O2": "oxygen", "Ar": "argon", "CO2": "carbon dioxide", "H2O": "water",
         "CO": "carbon monoxide", "H2": "hydrogen"}
MOST = 2000.0


def main():
    print("species,low_K,high_K,a,b,c,d,e")
    for name, words in GASES.items():
        entry = WebBook_Shomate_gases[CAS_from_any(words)]
        for piece in getattr(entry, "models", [entry]):
            if piece.Tmin < MOST:
                scaled = [x * scale for x, scale in zip(piece.coeffs, (1, 1e3, 1e6, 1e9, 1e-6))]
                print(",".join([name, f"{piece.Tmin:g}", f"{piece.Tmax:g}", *(f"{x:.9g}" for x in scaled)]))


if __name__ == "__main__":
    main()
