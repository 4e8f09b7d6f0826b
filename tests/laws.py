"""How often a law is tried."""

import hypothesis

THOROUGH = "thorough"
"""Profile of the long run: every law on thousands of examples."""


def tried(usual: int) -> hypothesis.settings:
    """So many examples; in the long run as many as its profile says.

    A costly law is tried less often than its fellows while somebody waits, and only then.
    """
    long_run = hypothesis.settings.get_current_profile_name() == THOROUGH
    return hypothesis.settings(
        max_examples=max(usual, hypothesis.settings().max_examples) if long_run else usual
    )
