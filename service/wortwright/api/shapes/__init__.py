"""The shapes of what goes over the wire, one module a resource.

A ``...Fields`` class holds what a thing looks like in both directions. Its ``...In`` class reads
it into the record that the use cases take; its ``...Out`` class writes what is stored.
"""
