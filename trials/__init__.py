"""Long trials: so many broken, strange and hostile inputs that something would show.

Each module is one domain and runs alone: ``python -m trials.job_files 100000``.  `make fuzz` and
`make faults` run them in the numbers that docs/reliability.md gives; short ones are in the suite.
"""
