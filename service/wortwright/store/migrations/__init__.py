"""The history of the tables, oldest first under ``versions``."""
