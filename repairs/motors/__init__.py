"""Motors, their nameplates and what makes a nameplate implausible."""
