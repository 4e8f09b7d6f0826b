"""Sessions in, what a setup really does out."""
