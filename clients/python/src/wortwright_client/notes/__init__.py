"""Past brews out of a brewer's own notes: a table of plain text, a row a brew."""
