"""What the words of the trade mean, told to translators beside every sentence that uses one."""

from __future__ import annotations

import re
from typing import Final

TERMS: Final = {
    r"allowable speed": "the speed that this program computes for a bearing in its set; not printed in a book",
    r"backspin": "the pump's falling water column drives the motor backwards after a stop",
    r"back to back|DB": "pair with the wide faces of the outer rings against each other; keep the letters DB",
    r"backup bearing": "the bearing of a stack that faces against the others and holds the shaft the other way",
    r"bearing book": "the shop's own table of bearings with the figures their makers print",
    r"clearance": "play inside a bearing, before it is mounted unless said otherwise",
    r"on hold|customer hold": "a stop on a job or a step: nothing goes on until it is released",
    r"downthrust": "axial load toward the ground",
    r"duty": "how the motor runs over time: continuous or in parts, each with its speed and load",
    r"end play": "how far the shaft moves along its axis between its stops",
    r"face offset|stickout": "how far one ring's face stands ahead of the other's under the gauge load",
    r"face to face|DF": "pair with the narrow faces of the outer rings against each other; keep the letters DF",
    r"FLA": "full-load amps, as on the nameplate",
    r"frame": "the motor's size code as on the nameplate, with its suffix",
    r"gate": "a check that keeps a step from being signed until it is met",
    r"guide bearing|guides?": "the radial bearing at the other end of the shaft",
    r"half key": "a key cut to fill the keyway only, used while balancing",
    r"handoff": "the passing of a job or a stack to the next shift or person",
    r"hi-pot": "high-potential test of insulation; not a brand",
    r"insulation test": "resistance of the winding to ground",
    r"limiting speed": "mechanical speed limit, as the book prints it",
    r"locknut|lock nut": "the nut on the shaft that clamps the inner rings",
    r"matched set": "bearings made or measured to share load, sold and installed together",
    r"minimum load|minimum-load factor": "the least load that keeps the balls rolling instead of sliding",
    r"mount": "the seat of the whole bearing stack on the shaft and in the housing",
    r"narrow face": "the thin-shoulder face of an angular contact bearing's outer ring",
    r"nameplate|plate": "the metal plate on the motor with its ratings",
    r"override": "two named people let a step pass that a gate stops; the reason is printed",
    r"preload": "load that opposed bearings put on each other without any outside load",
    r"ratchet": "non-reverse ratchet: keeps the shaft from turning backwards",
    r"reference speed": "thermal speed rating, as the book prints it",
    r"route": "the list of steps that a job goes through in the shop",
    r"runout|TIR": "how far a turning surface moves in and out, as a dial indicator reads it (total)",
    r"shaft fit|housing fit": "how tight or loose a ring sits: measured size against the ring's",
    r"spacer": "a ring between two bearings, an inner and an outer one of one height",
    r"stack": "all thrust bearings of one mount with their spacers and nuts, in order, top first",
    r"tandem": "bearings that face the same way and share the load",
    r"teardown|tear down": "taking the motor apart to inspect it",
    r"traveler": "the paper that goes through the shop with the job",
    r"upside down": "a bearing mounted facing the wrong way",
    r"upthrust": "axial load away from the ground",
    r"wide face": "the thick-shoulder (back) face of an angular contact bearing's outer ring; it takes the thrust",
}  # fmt: skip
_PATTERNS: Final = tuple(
    (re.compile(rf"(?<![\w-])(?:{term})(?:s|es)?(?![\w-])", 0 if term.isupper() else re.IGNORECASE), told)
    for term, told in TERMS.items()
)


def terms_in(text: str) -> list[str]:
    """Return what the trade words in a text mean, each with the word as the text has it."""
    found = ((pattern.search(text), told) for pattern, told in _PATTERNS)
    return [f"{match.group()}: {told}" for match, told in found if match]
