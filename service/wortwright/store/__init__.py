"""Everything that touches the database."""
