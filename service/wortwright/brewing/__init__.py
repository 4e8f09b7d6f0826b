"""The science: pure functions on floats in base units (kg, L at 20 degC, degC, SG, fractions)."""
