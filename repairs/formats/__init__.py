"""How this shop writes days and times, by language."""
