"""Ways out: whole plans that do work where the asked-for one does not."""
