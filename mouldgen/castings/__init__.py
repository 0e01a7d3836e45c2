"""The castings file, and what its rows teach about the gap."""
