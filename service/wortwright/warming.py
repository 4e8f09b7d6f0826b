"""What fits takes half a second to load: it is loaded before the service calls itself ready."""

import gc
from threading import Event, Thread

_loaded = Event()


def warm() -> None:
    """Load what fits, and wait for it.

    All that is there by then stays as long as the process: the collector of garbage, which looked
    through a third of a million such objects again and again, leaves it alone from now on.
    """
    import sklearn.linear_model  # noqa: F401

    gc.freeze()
    _loaded.set()


def warm_meanwhile() -> None:
    """Load what fits while the first requests are answered."""
    Thread(target=warm, name="warming", daemon=True).start()


def is_warm() -> bool:
    """Tell whether a fit could begin at once."""
    return _loaded.is_set()
