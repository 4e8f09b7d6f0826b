"""One function a use case: load, one pure call, save; it owns the transaction."""
