"""Charts as SVG, in the manner of the drawing: load, speed, life and warmth of an assessment; shop readings."""

from bearings.charts.axes import KILONEWTONS, POUNDS_FORCE, ChartOptions, ForceUnit
from bearings.charts.fit import FitBar, fit_bars
from bearings.charts.life import LifeLimit, LifePoint, life_chart
from bearings.charts.life_bars import LifeBar, life_bars
from bearings.charts.life_ranges import LifeRange, life_ranges
from bearings.charts.load import LoadCase, LoadCurve, load_chart
from bearings.charts.series import SeriesLine, SeriesMark, SeriesWords, series_chart
from bearings.charts.speed import MotorSpeed, SpeedBar, speed_chart
from bearings.charts.sticks import stick_chart
from bearings.charts.trend import TrendAxis, TrendLine, trend_chart
from bearings.charts.value_bars import ValueBar, value_bars
from bearings.charts.warmth import WarmthAxis, WarmthLevel, warmth_chart

__all__ = [
    "KILONEWTONS",
    "POUNDS_FORCE",
    "ChartOptions",
    "FitBar",
    "ForceUnit",
    "LifeBar",
    "LifeLimit",
    "LifePoint",
    "LifeRange",
    "LoadCase",
    "LoadCurve",
    "MotorSpeed",
    "SeriesLine",
    "SeriesMark",
    "SeriesWords",
    "SpeedBar",
    "TrendAxis",
    "TrendLine",
    "ValueBar",
    "WarmthAxis",
    "WarmthLevel",
    "fit_bars",
    "life_bars",
    "life_chart",
    "life_ranges",
    "load_chart",
    "series_chart",
    "speed_chart",
    "stick_chart",
    "trend_chart",
    "value_bars",
    "warmth_chart",
]
