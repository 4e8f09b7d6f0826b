"""What is sent to the service: plain dictionaries, typed.

What may be left out is filled in by the service.
"""
