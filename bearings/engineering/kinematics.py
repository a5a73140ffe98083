"""How often the parts of a bearing pass each other: orders of the shaft speed, for reading a vibration spectrum.

Pure rolling is assumed; real bearings slip by one or two per cent (common practice, no source).
"""

from __future__ import annotations

from math import cos, radians
from typing import Final, NamedTuple

from bearings.engineering.quantities import Bearing, Stack, guide_refs, item_refs

SOURCE: Final = "kinematics of rolling without slip"


class PassingOrders(NamedTuple):
    """Multiples of the shaft speed: cage, ball over a mark on the outer ring, on the inner ring, ball's own turn.

    ``ball`` counts one turn of the ball; a mark on it meets a ring twice in one.
    """

    cage: float
    outer: float
    inner: float
    ball: float


def passing_orders(bearing: Bearing) -> PassingOrders | None:
    """Return the orders of a bearing whose inner ring turns; None while its inside is not known.

    cage (1 - g)/2, outer Z (1 - g)/2, inner Z (1 + g)/2, ball dm/Dw (1 - g^2)/2 with g = Dw cos(alpha)/dm; lengths
    in mm, Dw below dm. Source: kinematics of rolling without slip.

    >>> one = Bearing(type="deep_groove_ball", ball_count=9, ball_diameter_mm=7.94, pitch_diameter_mm=39.04)
    >>> [round(order, 4) for order in passing_orders(one)]
    [0.3983, 3.5848, 5.4152, 2.3567]
    """
    angle = 0.0 if bearing.type in ("deep_groove_ball", "cylindrical_roller") else bearing.contact_angle_deg
    balls, ball, pitch = bearing.ball_count, bearing.ball_diameter_mm, bearing.pitch_mm
    if angle is None or balls is None or ball is None or pitch is None or ball >= pitch:
        return None
    gamma = ball / pitch * cos(radians(angle))
    cage = (1 - gamma) / 2
    return PassingOrders(cage, balls * cage, balls * (1 + gamma) / 2, pitch / ball * (1 - gamma**2) / 2)


def stack_orders(stack: Stack) -> dict[str, PassingOrders]:
    """Return the orders of each bearing and guide of a stack by its ref, without those whose inside is not known.

    >>> from bearings.engineering.quantities import MotorDuty
    >>> one = Bearing(type="deep_groove_ball", ball_count=9, ball_diameter_mm=7.94, pitch_diameter_mm=39.04)
    >>> unknown = Bearing(type="deep_groove_ball")
    >>> orders = stack_orders(Stack(items=(one, unknown), motor=MotorDuty(rated_speed_rpm=1780.0)))
    >>> {ref: round(row.cage, 4) for ref, row in orders.items()}
    {'1': 0.3983}
    """
    rows = [
        *zip(item_refs(stack.items), stack.items, strict=True),
        *((ref, guide.bearing) for ref, guide in zip(guide_refs(stack.guides), stack.guides, strict=True)),
    ]
    found = {ref: passing_orders(one) for ref, one in rows if ref is not None and isinstance(one, Bearing)}
    return {ref: orders for ref, orders in found.items() if orders is not None}
