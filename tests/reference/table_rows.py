"""Rows of tables, typed in a second time from what is named over each."""

from __future__ import annotations

from typing import Final

# ASTM D2270 (from memory, unverified): from which viscosity at 100 degC in mm2/s a row holds, then a b c of L, d e f
# of H. The printed table that these rows stand for is checked through a chemistry library as well.
VISCOSITY_INDEX_ROWS: Final = """
2.0   1.14673   1.7576    -0.109   0.84155   1.5521   -0.077
3.8   3.38095 -15.4952    33.196   0.78571   1.7929   -0.183
4.4   2.5      -7.2143    13.812   0.82143   1.5679    0.119
5.0   0.101    16.635    -45.469   0.04985   9.1613  -18.557
6.4   3.35714 -23.5643    78.466   0.22619   7.7369  -16.656
7.0   0.01191  21.475    -72.870   0.79762  -0.7321   14.610
7.7   0.41858  16.1558   -56.040   0.05794  10.5156  -28.240
9.0   0.88779   7.5527   -16.600   0.26665   6.7015  -10.810
12.0  0.76720  10.7972   -38.180   0.20073   8.4658  -22.490
15.0  0.97305   5.3135    -2.200   0.28889   5.9741   -4.930
18.0  0.97256   5.2500    -0.980   0.24504   7.4160  -16.730
22.0  0.91413   7.4759   -21.820   0.20323   9.1267  -34.230
28.0  0.87031   9.7157   -50.770   0.18411  10.1015  -46.750
40.0  0.84703  12.6752  -133.310   0.17029  11.4866  -80.620
55.0  0.85921  11.1009   -83.190   0.17130  11.3680  -76.940
70.0  0.83531  14.6731  -216.246   0.16841  11.8493  -96.947
"""

# Bore and outside diameter in mm of diameter series 2: ISO 15 (from memory, unverified).
DIAMETER_SERIES_2: Final = """
10 30   12 32   15 35   17 40   20 47   25 52   30 62   35 72   40 80   45 85   50 90   55 100  60 110  65 120
70 125  75 130  80 140  85 150  90 160  95 170  100 180 105 190 110 200 120 215 130 230 140 250 150 270 160 290
170 310 180 320 190 340 200 360 220 400 240 440
"""

# Series by dimension series (width series, diameter series): ISO 15 and ISO 104 (from memory, unverified).
BY_DIMENSION_SERIES: Final = {
    "10": "60 70 N10 NU10 NJ10 NUP10",
    "02": "62 72 N2 NU2 NJ2 NUP2 NF2",
    "03": "63 73 N3 NU3 NJ3 NUP3 NF3",
    "04": "64 74 N4 NU4 NJ4 NUP4 NF4",
}
BORE_ALONE: Final = "618 619 718 719 292 293 294 N22 N23 NU22 NU23 NJ22 NJ23 NUP22 NUP23"

# K of the grease life rule K (14e6 / (n sqrt(d)) - 4 d): handbooks (from memory, unverified).
GREASE_FACTORS: Final = {
    "deep_groove_ball": 10,
    "angular_contact_ball": 10,
    "cylindrical_roller": 5,
    "spherical_roller_thrust": 1,
}
