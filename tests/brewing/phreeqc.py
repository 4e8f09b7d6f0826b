"""PHREEQC, asked about salts in pure water at 25 degC: an independent account of the ions."""

import pytest

MG_PER_MOL = {
    "calcium_mg_l": ("Ca", 40078.0),
    "magnesium_mg_l": ("Mg", 24305.0),
    "sodium_mg_l": ("Na", 22990.0),
    "potassium_mg_l": ("K", 39098.0),
    "chloride_mg_l": ("Cl", 35450.0),
    "sulfate_mg_l": ("S(6)", 96056.0),
}


def dissolve(moles_per_kg):
    """Ions [mg/L], alkalinity [meq/L] and charge error [%] of salts by plain formula."""
    phreeqpython = pytest.importorskip("phreeqpython")
    engine = phreeqpython.PhreeqPython().ip
    salts = "\n".join(f"    {formula} {1000.0 * moles}" for formula, moles in moles_per_kg.items())
    engine.run_string(
        "SELECTED_OUTPUT 1\n    -reset false\n    -alkalinity true\n    -percent_error true\n"
        "    -totals Ca Mg Na K Cl S(6)\n"
        "SOLUTION 1\n    temp 25\n    units mmol/kgw\n"
        f"REACTION 1\n{salts}\n    1 mmol\nEND\n"
    )
    headings, *_, last = engine.get_selected_output_array()
    found = dict(zip(headings, last, strict=True))
    ions = {
        name: mass * next(v for k, v in found.items() if k.startswith(f"{symbol}(mol"))
        for name, (symbol, mass) in MG_PER_MOL.items()
    }
    alkalinity = next(v for k, v in found.items() if k.startswith("Alk"))
    return {**ions, "alkalinity_meq_l": 1000.0 * alkalinity}, found["pct_err"]
