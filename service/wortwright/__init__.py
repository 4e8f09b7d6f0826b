"""wortwright: refit a recipe written for somebody else's system to your own."""

__version__ = "0.1.0"
