"""Pure bearing engineering: no Django, no files, no clock."""

from typing import Final

VERSION: Final = "1.0.0"
