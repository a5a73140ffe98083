"""The page of an assessment: kept or made now, its words and figures, acceptance, and files that are only looked at."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from bearings.models import StoredAssessment
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.work_orders.judging import judge, store_assessment
from repairs.work_orders.models import AcceptedFinding, ShopPolicy, StackRecord, Stage
from tests.repairs.factories import make_job, make_motor, make_stack_record, make_user, triple_items

pytestmark = pytest.mark.django_db


@pytest.fixture
def reader(client):
    client.force_login(make_user("technician", units="si"))
    return client


@pytest.fixture
def lead(client):
    client.force_login(make_user("lead", units="si"))
    return client


def address(record: StackRecord, name: str = "assessment") -> str:
    return reverse(f"office:{name}", args=[record.job.number, record.pk])


def words(answer) -> str:
    """Return what a reader sees, without tags, drawings and charts."""
    html = re.sub(r"<svg.*?</svg>", " ", answer.content.decode(), flags=re.DOTALL)
    text = unescape(re.sub(r"<[^>]+>", " ", html))
    return re.sub(r"\s+", " ", text)


def sign(record: StackRecord) -> StackRecord:
    """Freeze a record with the answer of this moment, as signing does."""
    record.assessment = store_assessment(judge(record, record.job.motor, {}))
    record.state, record.signed_at, record.signed_by = "signed", timezone.now(), record.started_by
    record.save()
    return record


def upload(client, content: bytes, name: str = "stack.json"):
    return client.post(reverse("office:check_file"), {"file": SimpleUploadedFile(name, content)})


def stack_file(**changes) -> dict:
    return {
        "stack_file": 1,
        "motor": {"rated_speed_rpm": 1780, "down_thrust_n": 30000, "rotor_weight_n": 2200},
        "items": [entry["data"] for entry in triple_items()],
        **changes,
    }


# What is said


def test_the_figures_of_a_stack_stand_on_its_page_with_formula_and_source(reader):
    text = words(reader.get(address(make_stack_record())))
    # Two bearings share 30,000 N and the rotor's 2,200 N: 16,100 N each.
    assert "running continuous 1,780 rpm 32,200 N down 16,100 N 16,100 N unloaded" in text
    assert text.count("16,100 N") >= 2
    # 2,700 rpm x 0.70 for an opposed set with a single bearing on one side (common practice, no source) = 1,890 rpm.
    assert "2,700 rpm limiting speed 0.70 1,890 rpm" in text
    assert f"{1890 / 1780 - 1:.1%}" in text
    # ISO 281:2007, ball bearings: (C/P)^3 10^6 / (60 n), P = 0.35 x 400 + 0.57 x 16 100 (Table 3, 40 degrees).
    life = (216000 / (0.35 * 400 + 0.57 * 16100)) ** 3 * 1e6 / (60 * 1780)
    assert f"{life:,.0f} h" in text
    assert "L10h = (C/P)³ 10⁶ / (60 n)" in text
    assert "ISO 281:2007" in text
    assert "Bearings 1 and 2 carry downthrust. Bearing 3 carries upthrust." in text


def test_every_topic_of_the_working_can_be_opened_and_is_reached_from_its_finding(reader):
    html = reader.get(address(make_stack_record())).content.decode()
    for topic in ("sharing", "cases", "life", "static", "speed", "heat"):
        assert f'id="working-{topic}"' in html
    for anchor in set(re.findall(r'href="#(working-\w+)"', html)):
        assert f'id="{anchor}"' in html


def test_what_was_not_checked_is_listed_with_what_is_missing(reader):
    text = words(reader.get(address(make_stack_record())))
    assert "NOT PROVEN. Open: " in text
    assert "Bearings 1, 2 and 3: Universal, matched or single?" in text
    assert re.search(r"Life: pairing and face offset \(stickout\) not entered for bearings 1, 2 and 3", text)


def test_load_speed_and_life_are_charted_with_a_title_in_words(reader):
    html = reader.get(address(make_stack_record())).content.decode()
    assert len(re.findall(r'<svg[^>]*class="chart"', html)) == 7
    for heading in ("cold", "mounted and warm"):
        assert f"Bearing load, {heading}" in html
    for heading in (
        "How each figure affects life",
        "Preload vs. shaft temperature",
        "Life vs. shaft temperature",
    ):
        assert heading in html
    assert "Bearing load vs. stack thrust" in html
    assert "unloads at" in html


def test_a_reader_of_us_units_sees_pounds_force_everywhere(client):
    client.force_login(make_user("technician", units="us"))
    text = words(client.get(address(make_stack_record())))
    # 16,100 N / 4.4482216152605 (exact by definition of the pound-force)
    assert "3,619 lbf" in text
    assert " N " not in text.partition("Working")[0]


# Kept, or made now


def test_a_draft_says_that_it_was_checked_just_now_and_keeps_nothing(reader):
    text = words(reader.get(address(make_stack_record())))
    assert "Draft. Checked now" in text
    assert not StoredAssessment.objects.exists()


def test_a_signed_record_shows_what_was_kept_although_motor_and_policy_changed(reader):
    record = sign(make_stack_record())
    ShopPolicy.objects.create(pk=1, limits={"minimum_speed_margin": 5.0})
    plate = record.job.motor.nameplate
    faster = {**plate, "rated_speed_rpm": {**plate["rated_speed_rpm"], "si": 3560.0}}
    Motor.objects.filter(pk=record.job.motor_id).update(nameplate=faster)
    text = words(reader.get(address(record)))
    assert "Saved with the record when" in text
    assert "It does not change" in text
    assert "1,780 rpm" in text
    assert "3,560 rpm" not in text
    assert StoredAssessment.objects.count() == 1


def test_an_answer_of_another_version_is_shown_without_curves_computed_anew(reader):
    record = sign(make_stack_record())
    StoredAssessment.objects.filter(pk=record.assessment_id).update(engine_version="0.9.0")
    html = reader.get(address(record)).content.decode()
    assert "checker 0.9.0" in html
    assert "Allowable speed vs." in html
    assert "Stack life vs. load" not in html


def test_a_stack_that_cannot_be_checked_says_of_which_bearing_what_is_missing(reader):
    record = make_stack_record(make_job(make_motor(nameplate={})), faces="dd?")
    answer = reader.get(address(record))
    text = words(answer)
    assert "Full-load RPM: not known." in text
    assert "Bearing 3, wide face: not known." in text
    assert "direction NOT KNOWN" in answer.content.decode()
    assert "OK" not in text


def test_a_stack_with_a_face_that_nobody_entered_is_judged_and_claims_no_load(reader):
    answer = reader.get(address(make_stack_record(faces="d?u")))
    text = words(answer)
    assert "NOT PROVEN. Open: Thrust directions" in text
    assert (
        "Bearing 1 carries downthrust. Bearing 3 carries upthrust. The face of bearing 2 is not known."
        in text
    )
    assert "direction NOT KNOWN" in answer.content.decode()
    assert "lbf on" not in text


def test_an_empty_record_has_a_page_too(reader):
    answer = reader.get(address(make_stack_record(items=[])))
    assert answer.status_code == 200
    assert "Stack is empty" in words(answer)


def test_a_bearing_that_is_not_rated_is_never_called_good(reader):
    items = triple_items()
    del items[2]["data"]["limiting_speed_rpm"]
    text = words(reader.get(address(make_stack_record(items=items))))
    assert re.search(r"full-load speed 1,780 rpm 1,890 rpm 6\.2% (WARN|NOT CHECKED)", text)
    assert "2 7320 not entered – 0.70 not checked not checked" in text


def test_the_page_of_another_job_s_record_is_not_there(reader):
    record, other = make_stack_record(), make_job()
    assert reader.get(reverse("office:assessment", args=[other.number, record.pk])).status_code == 404


def test_who_records_the_stack_as_built_does_not_see_the_specified_one(client):
    job, builder = make_job(), make_user("technician")
    specified = make_stack_record(job, stage=Stage.SPECIFIED)
    make_stack_record(job, stage=Stage.AS_BUILT, items=[], started_by=builder)
    client.force_login(builder)
    answer = client.get(address(specified))
    assert answer.status_code == 403
    assert "is hidden" in words(answer)
    assert "7320" not in answer.content.decode()


# Accepting


def test_a_lead_accepts_a_finding_with_a_reason_and_the_page_says_so(lead):
    record = make_stack_record(stage=Stage.SPECIFIED)
    body = {
        "version": record.version,
        "code": "speed-margin",
        "ref": "1",
        "reason": "Customer agreed in writing.",
    }
    assert lead.post(address(record, "accept_finding"), body).url == address(record)
    assert "Customer agreed in writing." in words(lead.get(address(record)))
    assert Event.objects.filter(verb="finding.accepted").count() == 1
    lead.post(address(record, "accept_finding"), body)
    assert AcceptedFinding.objects.count() == 1


def test_an_acceptance_without_a_reason_is_refused_in_words(lead):
    record = make_stack_record(stage=Stage.SPECIFIED)
    body = {"version": record.version, "code": "speed-margin", "ref": "1", "reason": " "}
    answer = lead.post(address(record, "accept_finding"), body)
    assert answer.status_code == 422
    assert "Enter why the finding is accepted" in words(answer)


def test_an_acceptance_of_an_older_stack_is_refused_and_its_reason_is_kept(lead):
    record = make_stack_record(stage=Stage.SPECIFIED, version=3)
    body = {"version": "2", "code": "speed-margin", "ref": "1", "reason": "as agreed"}
    answer = lead.post(address(record, "accept_finding"), body)
    assert answer.status_code == 409
    assert 'value="as agreed"' in answer.content.decode()
    assert not AcceptedFinding.objects.exists()


def test_what_nothing_carries_cannot_be_accepted(lead):
    record = make_stack_record(stage=Stage.SPECIFIED, faces="ddd")
    assert "This cannot be accepted. Correct the stack." in words(lead.get(address(record)))
    body = {"version": record.version, "code": "up-thrust-not-carried", "ref": "", "reason": "hurry"}
    assert lead.post(address(record, "accept_finding"), body).status_code == 422


@pytest.mark.parametrize("role", ["office", "technician", "engineer"])
def test_nobody_but_a_lead_accepts_and_nobody_else_is_asked(client, role):
    record = make_stack_record(stage=Stage.SPECIFIED)
    client.force_login(make_user(role))
    assert "Accept with a reason" not in words(client.get(address(record)))
    assert client.post(address(record, "accept_finding"), {"code": "speed-margin"}).status_code == 403


# Files


def test_a_good_file_is_assessed_and_nothing_is_kept(reader):
    answer = upload(reader, json.dumps(stack_file()).encode())
    assert answer.status_code == 200
    text = words(answer)
    assert "stack.json" in text
    assert "1,890 rpm" in text
    assert not StoredAssessment.objects.exists()
    assert not Event.objects.exists()


def test_all_mistakes_of_a_file_are_shown_by_field(reader):
    items = [{"kind": "bearing", "type": "angular_contact_ball", "wide_face": "dwn", "bore_mm": 100}]
    wrong = stack_file(motor={"rated_speed_rpm": "fast", "down_thrust_n": 1e308}, items=items)
    wrong["items"].append(
        {"kind": "bearing", "type": "deep_groove_ball", "bore_mm": 100, "outside_diameter_mm": 90}
    )
    answer = upload(reader, json.dumps(wrong).encode())
    assert answer.status_code == 422
    text = words(answer)
    assert "4 errors" in text
    for field in ("motor.rated_speed_rpm fast", "motor.down_thrust_n 1e+308", "items[0].wide_face dwn"):
        assert field in text
    assert "items[1].outside_diameter_mm 90" in text


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "Not valid JSON"),
        (b"\xef\xbb\xbf{}", "byte-order mark"),
        (b"\xff\xfe", "is not UTF-8"),
        (b"[" * 5000, "nested"),
        (b"{}", "Unknown version"),
        (b"x" * (1024 * 1024 + 1), "File has 1,048,577 bytes. Accepted: at most 1,048,576 bytes"),
    ],
)
def test_a_file_that_is_none_is_refused_in_words(reader, content, said):
    answer = upload(reader, content)
    assert answer.status_code == 422
    assert said in words(answer)


def test_no_file_at_all_is_refused_beside_the_field(reader):
    answer = reader.post(reverse("office:check_file"))
    assert answer.status_code == 422
    assert 'id="id_file_error"' in answer.content.decode()


def test_a_file_cannot_put_markup_on_the_page(reader):
    items = triple_items()
    items[1]["data"]["designation"] = "<script>x</script>"
    answer = upload(reader, json.dumps(stack_file(items=[one["data"] for one in items])).encode(), "<b>.json")
    assert b"<script>x" not in answer.content
    assert b"<b>.json" not in answer.content


# What it costs


def test_the_page_costs_the_same_for_a_small_and_a_large_stack(lead, django_assert_num_queries):
    record = make_stack_record(stage=Stage.SPECIFIED, faces="dddduuuu")
    # session, person, record with job, the job's records (who records the stack as built, and whether the reader still
    # has to look at it as the second person), policy's limits, the job's measured seats, accepted findings
    with django_assert_num_queries(7):
        lead.get(address(record))


def oiled_motor(**values) -> Motor:
    """Return a motor whose plate says more of its oil."""
    motor = make_motor()
    oil = {key: {"state": "read", "typed": str(si), "unit": "", "si": si} for key, si in values.items()}
    motor.nameplate = {**motor.nameplate, **oil}
    motor.save()
    return motor


def test_heat_is_told_with_its_uncertainty_and_what_takes_it_away(reader):
    motor = oiled_motor(
        oil_temperature_c=70, oil_iso_vg=32, lubrication="oil_circulating", mount_ambient_c=30,
        cooler_flow_l_min=3, oil_rise_k=10,
    )  # fmt: skip
    record = make_stack_record(make_job(motor=motor), Stage.SPECIFIED, items=triple_items())
    text = words(reader.get(address(record)))
    assert "carried away by oil" in text
    assert "total cooling (estimate)" in text
    assert "Friction is good to ±25% at best" in text


def test_a_higher_reliability_and_the_other_contamination_route_are_told(reader):
    motor = oiled_motor(
        oil_temperature_c=70, oil_iso_vg=32, lubrication="oil_bath", cleanliness="slight_contamination",
        oil_cleanliness_code="bath_19_16", reliability_percent=98,
    )  # fmt: skip
    record = make_stack_record(make_job(motor=motor), Stage.SPECIFIED, items=triple_items())
    text = words(reader.get(address(record)))
    assert "At 98% reliability" in text
    assert "ISO 281 Annex A contamination factor" in text


def test_an_answer_kept_before_heat_was_balanced_is_shown_without_it(reader):
    record = sign(make_stack_record(make_job(), Stage.SPECIFIED, items=triple_items()))
    old = StoredAssessment.objects.get(pk=record.assessment_id)
    answer = {
        **old.answer,
        "thermal": {key: old.answer["thermal"][key] for key in ("bearings", "friction_w")},
    }
    StoredAssessment.objects.filter(pk=old.pk).update(answer=answer)
    assert "Friction is good to" not in words(reader.get(address(record)))
