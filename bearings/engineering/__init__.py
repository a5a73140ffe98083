"""Pure bearing engineering: no Django, no files, no clock."""
