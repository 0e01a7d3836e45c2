"""The virtual pour: which air stays shut in, how high the resin stands, how much a second takes."""
