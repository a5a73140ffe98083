"""Customers and motors of the invented shop."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from repairs.customers.models import Customer, Site
from repairs.customers.services import add_contact, add_site, create_customer
from repairs.ledger.services import Actor
from repairs.motors.models import Motor
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.services import create_motor
from repairs.motors.units import unit_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One invented motor: its place, and what can be read on its plate as (typed, unit)."""

    key: str
    customer: str
    site: str
    tag: str
    serial: str
    build: str = "vertical_hollow"
    plate: dict[str, tuple[str, str]] = field(default_factory=dict)
    illegible: tuple[str, ...] = ()


CUSTOMERS = {
    "Saltgrass Flats Irrigation": ("Well field north", "Ada Marsh", "pump foreman"),
    "Kestrel Paper": ("Stock preparation", "Ben Alder", "maintenance planner"),
    "Dune County Water": ("Booster station 4", "Cleo Ford", "operations"),
    "Orrin Mill": ("Sump house", "Dov Hale", "mill electrician"),
}


def _vertical(
    power: str,
    volts: str,
    amps: str,
    speed: str,
    down: str,
    highest: str,
    up: str,
    rotor: str,
    **more: tuple[str, str],
) -> dict[str, tuple[str, str]]:
    plate = {
        "power_w": (power, "hp"),
        "voltage_v": (volts, "V"),
        "current_a": (amps, "A"),
        "frequency_hz": ("60", "Hz"),
        "phases": ("3", ""),
        "rated_speed_rpm": (speed, "rpm"),
        "fixed_speed": ("yes", ""),
        "mount_bore_mm": ("42", "mm"),
        "shaft_warmer_k": ("8", "K"),
        "insulation_class": ("F", ""),
        "service_factor": ("1.15", ""),
        "enclosure": ("weather protected", ""),
        "down_thrust_n": (down, "lbf"),
        "maximum_down_thrust_n": (highest, "lbf"),
        "up_thrust_n": (up, "lbf"),
        "up_thrust_duration": ("momentary", ""),
        "maximum_thrust_duration": ("momentary", ""),
        "thrust_basis": ("external", ""),
        "rotor_weight_n": (rotor, "lbf"),
        "radial_load_n": ("180", "lbf"),
        "lubrication": ("oil_bath", ""),
        "oil_iso_vg": ("150", ""),
        "oil_viscosity_index": ("97", ""),
        "oil_temperature_c": ("158", "°F"),
        "cleanliness": ("slight_contamination", ""),
        "oil_capacity_l": ("9.5", "US qt"),
        "non_reverse": ("yes", ""),
        "rotation": ("ccw", ""),
        "end_play_mm": ("0.007", "in"),
    }
    return {**plate, **more}


PLANS = (
    Plan(
        key="well7",
        customer="Saltgrass Flats Irrigation",
        site="Well field north",
        tag="Well 7",
        serial="SF-70417",
        plate=_vertical(
            "150", "460", "171", "1780", "6744", "7300", "2023", "495",
            frame=("445TP", ""), thrust_bearings=("three 7320, two down, one up", ""),
            mount_ambient_c=("95", "°F"), oil_cleanliness_code=("bath_17_14", ""),
            reliability_percent=("95", "%"),
            fixed_speed=("no", ""), minimum_speed_rpm=("1500", "rpm"), maximum_speed_rpm=("1780", "rpm"),
            duty_1_percent=("70", "%"), duty_1_speed_rpm=("1780", "rpm"), duty_1_thrust_n=("6744", "lbf"),
            duty_2_percent=("30", "%"), duty_2_speed_rpm=("1500", "rpm"), duty_2_thrust_n=("4800", "lbf"),
        ),
        illegible=("model",),
    ),
    Plan(
        key="well5",
        customer="Saltgrass Flats Irrigation",
        site="Well field north",
        tag="Well 5",
        serial="SF-51102",
        plate=_vertical("200", "460", "226", "1785", "7200", "7300", "2100", "560", frame=("447TP", "")),
    ),
    Plan(
        key="well3",
        customer="Saltgrass Flats Irrigation",
        site="Well field north",
        tag="Well 3",
        serial="",
        plate=_vertical("250", "2300", "59", "890", "14500", "15600", "900", "1400", frame=("5011", "")),
        illegible=("year",),
    ),
    Plan(
        key="well9",
        customer="Saltgrass Flats Irrigation",
        site="Well field north",
        tag="Well 9",
        serial="SF-90233",
        plate=_vertical("125", "460", "143", "1780", "5600", "6050", "1400", "410", frame=("444TP", "")),
    ),
    Plan(
        key="well2",
        customer="Saltgrass Flats Irrigation",
        site="Well field north",
        tag="Well 2",
        serial="SF-20871",
        plate=_vertical(
            "100", "460", "121", "1185", "6200", "6700", "1300", "520", frame=("444TP", ""),
            mount_ambient_c=("95", "°F"), heat_removed_w=("1500", "W"),
        ),
    ),
    Plan(
        key="booster4",
        customer="Dune County Water",
        site="Booster station 4",
        tag="Booster 4",
        serial="DC-0093",
        plate=_vertical("300", "4000", "38", "1185", "26000", "28000", "0", "2100", frame=("5813", "")),
    ),
    Plan(
        key="sump",
        customer="Orrin Mill",
        site="Sump house",
        tag="Sump B",
        serial="OM-2210",
        build="vertical_solid",
        plate=_vertical("75", "460", "88", "1770", "3100", "3350", "1200", "310", frame=("365HP", "")),
    ),
    Plan(
        key="fan2",
        customer="Kestrel Paper",
        site="Stock preparation",
        tag="Fan 2",
        serial="KP-4471",
        build="horizontal",
        plate={
            "power_w": ("200", "hp"),
            "voltage_v": ("460", "V"),
            "current_a": ("231", "A"),
            "frequency_hz": ("60", "Hz"),
            "phases": ("3", ""),
            "rated_speed_rpm": ("1185", "rpm"),
            "frame": ("449T", ""),
        },
    ),
)  # fmt: skip


def _entry(key: str, typed: str, unit: str) -> dict[str, object]:
    """Return a plate entry as a reading of the plate stores it."""
    plate_field = BY_KEY[key]
    si: Any = typed
    if plate_field.kind == "number":
        si = unit_of(plate_field.quantity, unit).to_si(float(typed))
    return {"state": "read", "typed": typed, "unit": unit, "si": si}


def write_customers(office: Actor) -> dict[str, tuple[Customer, Site]]:
    """Make the customers with a site and a contact each."""
    made = {}
    for name, (site_name, contact, role) in CUSTOMERS.items():
        customer = create_customer(actor=office, name=name)
        site = add_site(actor=office, customer=customer, name=site_name)
        add_contact(actor=office, customer=customer, name=contact, role=role, telephone="555 0100", site=site)
        made[name] = (customer, site)
    return made


def write_motors(office: Actor, customers: dict[str, tuple[Customer, Site]]) -> dict[str, Motor]:
    """Make the motors with their plates."""
    made = {}
    for plan in PLANS:
        customer, site = customers[plan.customer]
        plate = {key: _entry(key, typed, unit) for key, (typed, unit) in plan.plate.items()}
        plate.update(
            {key: {"state": "illegible", "typed": "", "unit": "", "si": None} for key in plan.illegible}
        )
        made[plan.key] = create_motor(
            actor=office,
            customer=customer,
            site=site,
            tag=plan.tag,
            serial=plan.serial,
            serial_state="read" if plan.serial else "illegible",
            build=plan.build,
            nameplate=plate,
        )
    return made
