"""Fuzz the whole interface from its contract.

    python tests/fuzz/run.py --examples 400 --seed 1

Prints how many cases were sent and every one that broke a promise; exit code 1 if any did.
"""

import argparse
import secrets
import sys
import tempfile
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from fuzz.running import PHASES, fuzz
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--examples", type=int, default=400, help="per operation and phase")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--phases", default=",".join(PHASES))
    parser.add_argument("--include", help="only paths that match this pattern")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="wortwright-fuzz-") as folder:
        settings = Settings(
            pepper=secrets.token_hex(32),
            database_url=f"sqlite:///{Path(folder) / 'fuzz.sqlite3'}",
            rate_limit="1000000000 per minute",
            failed_key_limit="1000000000 per minute",
            log_level="critical",
        )
        app = create_app(settings)
        database = app.extensions[DATABASE]
        database.migrate()
        _, key = create_club(database, Club("Millrace Lane"), settings.pepper)
        outcome = fuzz(
            app,
            key,
            examples=asked.examples,
            seed=asked.seed,
            phases=tuple(asked.phases.split(",")),
            include=asked.include,
        )
        database.close()
    print(outcome.report())
    sys.exit(bool(outcome.failures or outcome.errors))


if __name__ == "__main__":
    main()
