"""Water for the brew: salts, dilution, mash pH."""
