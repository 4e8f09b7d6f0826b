"""The invented Millrace Lane club: its documents, and the walk through them."""
