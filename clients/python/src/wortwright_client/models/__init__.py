"""What the service answers, as frozen data classes."""
