"""Where a figure comes from, as it is printed beside the result.

The standards were restated from public texts; a value that only memory supports says so.
"""

from typing import Final

ISO_281_EQUIVALENT: Final = "ISO 281:2007 Table 3"
ISO_281_THRUST_ROLLER: Final = "ISO 281:2007 Table 11; 1.2 handbook value"
ISO_281_LIFE: Final = "ISO 281:2007 5.3 and 8.3"
ISO_281_MODIFIED: Final = "ISO 281:2007 9.3.3, equations 31 to 42"
ISO_281_KAPPA: Final = "ISO 281:2007 equations 27 to 29"
ISO_281_CONTAMINATION: Final = "ISO 281:2007 Table 13, lower bound"
ISO_281_FATIGUE: Final = "ISO 281:2007 B.18 to B.21, simplified"
ISO_76_STATIC: Final = "ISO 76:2006"
ISO_76_STATIC_ROLLER: Final = "ISO 76:2006; 2.7 handbook value"
SYSTEM_LIFE: Final = "ISO/TR 1281-1, series system"
PALMGREN_DEFLECTION: Final = "Palmgren, constant contact angle; from memory, unverified"
EQUAL_STIFFNESS: Final = "equal stiffness assumed: same dimensions and ratings"
ASTM_VISCOSITY: Final = "ASTM D341 with 0.7, ASTM D2270"
SET_FACTOR: Final = "set factor: common practice, no source"
MINIMUM_LOAD: Final = "maker's factor A"
THRUST_ROLLER_RADIAL: Final = "maker's handbook, 0.55 of axial load"
COMMON_PRACTICE: Final = "common practice, no source"
ISO_15312: Final = "ISO 15312; heat balance from memory, unverified"
PALMGREN_FRICTION: Final = "Palmgren friction; from memory, unverified"
POLICY: Final = "shop policy"
REQUIRED_LIFE: Final = "life required for this motor"
MECHANICS: Final = "equilibrium of forces"
