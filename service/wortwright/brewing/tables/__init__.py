"""Published constants and generic ingredients, each row with its source."""
