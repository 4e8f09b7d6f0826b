"""After the boil: yeast, fermentation, packaging, and what keeps in the store."""
