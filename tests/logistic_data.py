"""Data of published logistic regressions, each with its source; the first column is ones."""

import numpy as np

# Temperature at launch [F] and distress of O-rings, 23 flights: S. R. Dalal, E. B. Fowlkes and
# B. Hoadley, J. Amer. Statist. Assoc. 84 (1989) 945-957.  A variant with 24 rows circulates,
# with other values; it is not this one.
_FLIGHTS = (
    "53:1 57:1 58:1 63:1 66:0 67:0 67:0 67:0 68:0 69:0 70:1 70:0 70:1 70:0 72:0 73:0 75:0 75:1 "
    "76:0 76:0 78:0 79:0 81:0"
)
FLIGHT_F, DISTRESS = np.array(
    [[float(value) for value in row.split(":")] for row in _FLIGHTS.split()]
).T
FLIGHTS = np.column_stack([np.ones(23), FLIGHT_F])
# Centred and divided by two standard deviations, which the weakly informative beliefs ask for:
# A. Gelman et al., Annals of Applied Statistics 2 (2008) 1360-1383.
TWO_SD_F = 2.0 * FLIGHT_F.std(ddof=1)
FLIGHTS_SCALED = np.column_stack([np.ones(23), (FLIGHT_F - FLIGHT_F.mean()) / TWO_SD_F])

# Grade of 79 endometrial cancers on neovasculisation, pulsatility index and thickness: G. Heinze
# and M. Schemper, Statistics in Medicine 21 (2002) 2409-2419, as A. Agresti gives them out with
# Foundations of Linear and Generalized Linear Models (2015).  NV PI EH HG.
_GRADES = """
0 13 1.64 0, 0 16 2.26 0, 0 8 3.14 0, 0 34 2.68 0, 0 20 1.28 0, 0 5 2.31 0, 0 17 1.8 0,
0 10 1.68 0, 0 26 1.56 0, 0 17 2.31 0, 0 8 2.01 0, 0 7 1.89 0, 0 20 3.15 0, 0 10 1.23 0,
0 18 1.27 0, 0 16 1.76 0, 0 18 2 0, 0 8 2.64 1, 0 29 0.88 1, 0 12 1.27 1, 0 20 1.37 1,
1 38 0.97 1, 1 22 1.14 1, 1 7 0.88 1, 1 25 0.91 1, 1 15 0.58 1, 0 7 0.97 1, 0 28 1.5 0,
0 11 1.33 0, 0 19 2.37 0, 0 10 1.82 0, 0 10 3.13 0, 0 18 1.31 0, 0 14 1.92 0, 0 21 1.64 0,
0 11 2.01 0, 0 17 1.88 0, 0 25 1.93 0, 0 16 2.11 0, 0 19 1.29 0, 0 15 1.72 0, 0 33 0.75 0,
0 24 1.92 0, 0 48 1.84 1, 0 12 1.11 1, 0 19 1.61 1, 0 2 1.18 1, 1 22 1.44 1, 1 40 1.18 1,
1 5 0.93 1, 1 0 1.17 1, 0 21 1.19 1, 0 15 1.06 1, 0 29 2.02 0, 0 15 2.29 0, 0 12 2.33 0,
0 3 2.9 0, 0 20 1.7 0, 0 23 1.41 0, 0 12 2.25 0, 0 22 1.54 0, 0 42 1.97 0, 0 15 1.75 0,
0 13 2.16 0, 0 14 2.57 0, 0 19 1.37 0, 0 12 3.61 0, 0 13 2.04 0, 0 10 2.17 0, 0 12 1.69 1,
1 49 0.27 1, 0 6 1.84 1, 0 5 1.3 1, 0 17 0.96 1, 1 11 1.01 1, 1 21 0.98 1, 0 5 0.35 1,
1 19 1.02 1, 0 33 0.85 1
"""
_GRADE_TABLE = np.array([[float(v) for v in row.split()] for row in _GRADES.split(",")])
GRADE = _GRADE_TABLE[:, 3]
GRADES = np.column_stack([np.ones(79), _GRADE_TABLE[:, :3]])
