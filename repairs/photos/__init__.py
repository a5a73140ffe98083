"""Photos: originals, derivatives made once, numbered marks."""
