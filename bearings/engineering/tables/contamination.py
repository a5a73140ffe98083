"""Contamination factor by the cleanliness of oil or grease: ISO 281:2007 Annex A."""

from __future__ import annotations

from typing import Final

SOURCE: Final = "ISO 281:2007 Annex A"
UNVERIFIED_SOURCE: Final = "ISO 281:2007 Annex A (constants from memory, unverified)"

# eC = a (1 - b / Dpw^(1/3)), a = k kappa^0.68 Dpw^0.55 and at most 1. Key: how the oil is kept clean and its code
# of ISO 4406, or the grease. Values: k, b, whether the constants were seen a second time.
CLEANLINESS: Final[dict[str, tuple[float, float, bool]]] = {
    "circulating_13_10": (0.0864, 0.5663, False),
    "circulating_15_12": (0.0432, 0.9987, True),
    "circulating_17_14": (0.0288, 1.6329, True),
    "circulating_19_16": (0.0216, 2.3362, True),
    "bath_13_10": (0.0864, 0.5796, False),
    "bath_15_12": (0.0288, 1.141, False),
    "bath_17_14": (0.0133, 1.67, False),
    "bath_19_16": (0.00864, 2.5164, False),
    "bath_21_18": (0.00411, 3.8974, False),
    "grease_high_cleanliness": (0.0864, 0.6796, True),
    "grease_normal_cleanliness": (0.0432, 1.141, True),
    "grease_slight_contamination": (0.0177, 1.887, True),
    "grease_severe_contamination": (0.0115, 2.662, True),
    "grease_very_severe_contamination": (0.00617, 4.06, True),
}
KAPPA_EXPONENT: Final = 0.68
PITCH_EXPONENT: Final = 0.55
