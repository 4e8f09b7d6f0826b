"""``python -m wortwright``."""

from wortwright.cli import main

main()
