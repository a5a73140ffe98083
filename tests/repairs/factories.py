"""The smallest valid rows; a test names only what it is about. All ratings and makers are invented."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from itertools import count
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from bearings.models import Rating, Source
from repairs.customers.models import Customer
from repairs.ledger.services import Actor
from repairs.motors.models import Motor
from repairs.people.models import User
from repairs.photos.models import Mark
from repairs.work_orders.looked_for import ASKED
from repairs.work_orders.models import Job, JobPhoto, RouteTemplate, StackRecord, Stage, TemplateStep
from repairs.work_orders.services.opening import open_job

_numbers = count(1)
TODAY = date(2026, 11, 25)

STANDARD_ROUTE = (
    ("receive", "Receive and tag", False),
    ("strip_record", "Strip down, record as found", False),
    ("observe", "Observations, proposed stack", False),
    ("approval", "Approval", False),
    ("winding", "Winding", True),
    ("specify", "Specify the stack", False),
    ("lay_out", "Dry layout", False),
    ("mount", "Heat, mount, record as built", False),
    ("second_person", "Second-person check", False),
    ("end_play", "Set end play", False),
    ("final_test", "Final test", False),
    ("ship", "Finish and ship", False),
)


def make_user(role: str = "technician", **fields: Any) -> User:
    name = fields.pop("username", f"{role}{next(_numbers)}")
    return User.objects.create_user(username=name, password="right horse 42", role=role, **fields)


def actor_for(user: User, device: str = "test bench", **more: Any) -> Actor:
    """Return a person in a session of their own, at a device."""
    more.setdefault("session", f"session of {user.pk}")
    return Actor(user_id=user.pk, name=str(user), device=device, role=user.role, **more)


def make_customer(**fields: Any) -> Customer:
    return Customer.objects.create(**{"name": f"Customer {next(_numbers)}", **fields})


def make_motor(customer: Customer | None = None, **fields: Any) -> Motor:
    plate = {
        "rated_speed_rpm": {"state": "read", "typed": "1780", "unit": "rpm", "si": 1780.0},
        "frequency_hz": {"state": "read", "typed": "60", "unit": "Hz", "si": 60.0},
        "down_thrust_n": {"state": "read", "typed": "30000", "unit": "N", "si": 30000.0},
        "up_thrust_n": {"state": "read", "typed": "9000", "unit": "N", "si": 9000.0},
        "rotor_weight_n": {"state": "read", "typed": "2200", "unit": "N", "si": 2200.0},
        "radial_load_n": {"state": "read", "typed": "800", "unit": "N", "si": 800.0},
        "oil_iso_vg": {"state": "read", "typed": "68", "unit": "", "si": 68.0},
    }
    defaults = {"serial": f"SN-{next(_numbers):05d}", "tag": f"Well {next(_numbers)}", "nameplate": plate}
    return Motor.objects.create(customer=customer or make_customer(), **{**defaults, **fields})


def make_template(**fields: Any) -> RouteTemplate:
    template = RouteTemplate.objects.create(**{"name": f"Route {next(_numbers)}", **fields})
    TemplateStep.objects.bulk_create(
        TemplateStep(template=template, position=n, kind=kind, title=title, chargeable=chargeable)
        for n, (kind, title, chargeable) in enumerate(STANDARD_ROUTE, 1)
    )
    return template


def make_job(motor: Motor | None = None, by: User | None = None, **fields: Any) -> Job:
    motor = motor or make_motor()
    template = fields.pop("template", None) or RouteTemplate.objects.first() or make_template()
    return open_job(
        actor=actor_for(by or make_user("office")),
        motor=motor,
        customer=motor.customer,
        template=template,
        today=fields.pop("today", TODAY),
        **{"complaint": "It growls when the pump starts.", **fields},
    )


def bearing_item(uid: str, face: str | None, mark: str, **data: Any) -> dict[str, Any]:
    fields: dict[str, Any] = {
        "kind": "bearing",
        "type": "angular_contact_ball",
        "designation": "7320",
        "mark": mark,
        "bore_mm": 100,
        "outside_diameter_mm": 215,
        "height_mm": 47,
        "contact_angle_deg": 40,
        "dynamic_rating_n": 216000,
        "static_rating_n": 208000,
        "limiting_speed_rpm": 2700,
        "ball_count": 13,
        "ball_diameter_mm": 34.925,
        "pair_preload_n": 1500,
        "maker": "Maker A (invented)",
        **data,
    }
    if face:
        fields["wide_face"] = face
    return {"uid": uid, "rating_id": None, "data": fields}


def triple_items(faces: str = "ddu") -> list[dict[str, Any]]:
    words = {"d": "down", "u": "up", "?": None}
    bearings = [bearing_item(f"b{n}", words[face], str(40 + n)) for n, face in enumerate(faces, 1)]
    top = {
        "uid": "top",
        "rating_id": None,
        "data": {"kind": "shoulder", "ring": "inner", "note": "flange of the mount"},
    }
    nut = {"uid": "nut", "rating_id": None, "data": {"kind": "lock_nut", "ring": "inner"}}
    return [top, *bearings, nut]


def make_stack_record(
    job: Job | None = None, stage: str = Stage.AS_FOUND, faces: str = "ddu", **fields: Any
) -> StackRecord:
    """Make a record of a triple; one as found has its open questions answered."""
    started_by = fields.pop("started_by", None) or make_user()
    absent = list(ASKED) if stage == Stage.AS_FOUND else []
    return StackRecord.objects.create(
        job=job or make_job(),
        stage=stage,
        started_by=started_by,
        **{"items": triple_items(faces), "absent": absent, **fields},
    )


def key_photo(place: JobPhoto, record: StackRecord) -> None:
    """Mark every bearing of a record on a photo."""
    Mark.objects.bulk_create(
        Mark(photo_id=place.photo_id, item_uid=entry["uid"], x=0.5, y=0.5)
        for entry in record.items
        if entry["data"]["kind"] == "bearing"
    )


def make_source(**fields: Any) -> Source:
    return Source.objects.create(
        **{
            "maker": "Maker A (invented)",
            "title": "Bearing tables",
            "edition": f"edition {next(_numbers)}",
            **fields,
        }
    )


def make_rating(source: Source | None = None, **fields: Any) -> Rating:
    figures = {
        "contact_angle_deg": 40,
        "dynamic_rating_n": 216000,
        "static_rating_n": 208000,
        "limiting_speed_rpm": 2700,
    }
    return Rating.objects.create(
        source=source or make_source(),
        **{
            "designation": f"73{next(_numbers):02d}",
            "type": "angular_contact_ball",
            "bore_mm": 100,
            "outside_diameter_mm": 215,
            "height_mm": 47,
            "figures": figures,
            **fields,
        },
    )


def picture_file(
    name: str = "stack.jpg", size: tuple[int, int] = (64, 48), **save: Any
) -> SimpleUploadedFile:
    out = BytesIO()
    Image.new("RGB", size, (120, 130, 140)).save(out, save.pop("format", "JPEG"), **save)
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")
