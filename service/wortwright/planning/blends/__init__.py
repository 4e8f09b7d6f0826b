"""Beers put together: blends, the second brew of a pair."""
