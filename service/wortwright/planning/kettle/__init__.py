"""Between the readings of a brew day: where the wort will end, and what corrects it."""
