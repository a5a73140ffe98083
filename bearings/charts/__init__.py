"""Charts of an assessment as SVG: load per bearing, permissible speed, life. In the manner of the drawing."""

from bearings.charts.axes import KILONEWTONS, POUNDS_FORCE, ChartOptions, ForceUnit
from bearings.charts.fit import FitBar, fit_bars
from bearings.charts.life import LifeLimit, LifePoint, life_chart
from bearings.charts.life_bars import LifeBar, life_bars
from bearings.charts.load import LoadCase, LoadCurve, load_chart
from bearings.charts.speed import MotorSpeed, SpeedBar, speed_chart

__all__ = [
    "KILONEWTONS",
    "POUNDS_FORCE",
    "ChartOptions",
    "FitBar",
    "ForceUnit",
    "LifeBar",
    "LifeLimit",
    "LifePoint",
    "LoadCase",
    "LoadCurve",
    "MotorSpeed",
    "SpeedBar",
    "fit_bars",
    "life_bars",
    "life_chart",
    "load_chart",
    "speed_chart",
]
