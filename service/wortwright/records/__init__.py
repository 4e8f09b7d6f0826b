"""The frozen data classes that travel between the rooms: setup, recipe, session."""
