"""The operations of the service, one module a resource."""
