"""HTTP: one module a resource, schemas and thin views."""
