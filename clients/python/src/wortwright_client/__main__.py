"""``python -m wortwright_client``."""

import sys

from wortwright_client.command import main

sys.exit(main())
