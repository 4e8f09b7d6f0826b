"""Recipe, setup, calibration and target in, a plan out."""
