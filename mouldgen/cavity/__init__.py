"""The bare cavity and its air space, before any feature."""
