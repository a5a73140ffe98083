"""A form speaks its reader's units: limits, the question of a match, bearings, parts and guides of a stack."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from bearings.public import Figures, field_spec
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.spec_figures import AS_PRINTED, figure_of
from repairs.motors.units import GALLON_L, HP_W, INCH_MM, LBF_N
from repairs.office.assessment_working import formula_text
from repairs.people.models import User
from repairs.work_orders.cautions import cautions_for
from repairs.work_orders.judging import shop_limits
from repairs.work_orders.models import ShopPolicy, StackRecord, StepKind
from tests.repairs.documents.test_units_of_papers import FOREIGN, UNITS, foreign_units
from tests.repairs.factories import make_stack_record, make_user

pytestmark = pytest.mark.django_db
FIELD = re.compile(
    r'<div class="field [^"]*">(.*?)</div>\s*(?:<div class="field__hint"[^>]*>(.*?)</div>)?', re.DOTALL
)
NAME = re.compile(r'name="(\w+)"')
SIGN = re.compile(r'<span class="unit"[^>]*>([^<]*)</span>')
# What is entered without a field of the stack file: rollers are counted and measured by the book's metric sizes.
ROLLERS = frozenset({"roller_diameter_mm", "roller_length_mm"})
POLICY = reverse("office:policy")
MATCH = reverse("office:match")


def pages_of(record: StackRecord) -> dict[str, str]:
    at = [record.job.number, record.stage]
    return {
        "policy": POLICY,
        "match": MATCH,
        "match of a record": reverse("office:match_record", args=[record.job.number, record.pk]),
        "bearing": reverse("bench:stack_item", args=[*at, "b1"]),
        "guide": reverse("bench:stack_guide", args=at),
        "spacer": reverse("bench:stack_new_item", args=[*at, "spacer"]),
    }


def foreign_fields(html: str, units: str, *, is_part: bool = False) -> list[str]:
    """Return the fields that ask or tell in a unit of the other system, but those that are as books print them."""
    told = []
    for control, hint in FIELD.findall(html):
        name = NAME.search(control)
        if name and (name[1] in ROLLERS or (name[1] in AS_PRINTED and not is_part)):
            continue
        signs = [sign for sign in SIGN.findall(control) if re.fullmatch(UNITS[FOREIGN[units]], sign)]
        if signs or foreign_units(f"<p>{hint}</p>", units, set()):
            told.append(f"{name and name[1]}: {signs} {hint}")
    return told


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("page", ["policy", "match", "match of a record", "bearing", "guide", "spacer"])
def test_no_field_asks_in_a_foreign_unit(client, settings, units, page):
    settings.SHOP_UNITS = units
    client.force_login(make_user("lead", units=units))
    html = client.get(pages_of(make_stack_record())[page], follow=True).content.decode()
    assert FIELD.search(html)
    assert not foreign_fields(html, units, is_part=page == "spacer")


@pytest.mark.parametrize(
    ("field", "units", "found"),
    [
        ('<input name="gauge_force_n"><span class="unit" aria-hidden="true">N</span>', "us", True),
        ('<input name="gauge_force_n"><span class="unit" aria-hidden="true">lbf</span>', "us", False),
        ('<input name="gauge_force_n"><span class="unit" aria-hidden="true">lbf</span>', "si", True),
        ('<input name="bore_mm"><span class="unit" aria-hidden="true">mm</span>', "us", False),
        ('<input name="spring_travel_mm"></div><div class="field__hint">0 to 1,000 mm', "us", True),
    ],
)
def test_a_field_with_a_foreign_unit_is_found(field, units, found):
    assert bool(foreign_fields(f'<div class="field ">{field}</div>', units)) is found


def posted(client, user: User, **changed: str) -> dict[str, str]:
    """Return the policy form as a person is shown it, with some fields typed over."""
    client.force_login(user)
    form = client.get(POLICY).context["form"]
    shown = {name: str(form[name].value() or "") for name in form.fields}
    return {**shown, **changed}


@pytest.mark.parametrize("units", ["us", "si"])
def test_a_policy_that_is_saved_as_it_was_shown_stores_nothing_else(client, units):
    ShopPolicy.objects.create(limits={"gauge_force_n": 613.0, "tandem_stand_out_um": 4.7})
    assert client.post(POLICY, posted(client, make_user("lead", units=units))).status_code == 302
    assert shop_limits() == {"gauge_force_n": 613.0, "tandem_stand_out_um": 4.7}


def test_a_us_lead_enters_limits_in_us_units_and_reads_them_back(client):
    typed = {
        "gauge_force_n": "120",
        "spacer_pair_um": "0.2 mil",
        "tandem_stand_out_um": ".0002",
        "assumed_shaft_warmer_k": "27",
        "assumed_temperature_c": "158",
        "minimum_speed_margin": "12%",
        "warm_preload_share": "8",
    }
    user = make_user("lead", units="us")
    assert client.post(POLICY, posted(client, user, **typed)).status_code == 302
    stored = shop_limits()
    assert stored["gauge_force_n"] == pytest.approx(120 * LBF_N)
    assert stored["spacer_pair_um"] == stored["tandem_stand_out_um"] == pytest.approx(0.0002 * 1000 * INCH_MM)
    assert stored["assumed_shaft_warmer_k"] == pytest.approx(15)
    assert stored["assumed_temperature_c"] == pytest.approx(70)
    assert (stored["minimum_speed_margin"], stored["warm_preload_share"]) == (0.12, 0.08)
    again = posted(client, user)
    for name, text in {**typed, "spacer_pair_um": "0.0002", "tandem_stand_out_um": "0.0002"}.items():
        assert again[name] == text.rstrip("%")


def test_a_us_technician_enters_a_guide_in_inches_mils_and_pounds(client):
    record = make_stack_record()
    client.force_login(make_user(units="us"))
    body = {
        "version": 1, "form_key": "g", "type": "deep_groove_ball", "carries": "up", "end_play_um": "8 mil",
        "distance_mm": "40", "spring_rate_n_per_mm": "200", "spring_force_n": "100 N",
        "guide_temperature_c": "158", "dynamic_rating_n": "14000", "bore_mm": "60",
    }  # fmt: skip
    assert client.post(pages_of(record)["guide"], body).status_code == 302
    record.refresh_from_db()
    data = record.guides[0]["data"]
    assert data["end_play_um"] == pytest.approx(203.2)
    assert data["distance_mm"] == pytest.approx(1016)
    assert data["spring_rate_n_per_mm"] == pytest.approx(200 * LBF_N / INCH_MM)
    assert (data["spring_force_n"], data["bore_mm"]) == (100.0, 60.0)
    assert data["guide_temperature_c"] == pytest.approx(70)
    assert data["dynamic_rating_n"] == pytest.approx(14_000 * LBF_N)


def test_a_part_that_is_saved_as_it_was_shown_stays_it_to_the_last_digit(client):
    record = make_stack_record()
    before = record.items[0]["data"]
    client.force_login(make_user(units="us"))
    url = pages_of(record)["bearing"]
    form = client.get(url).context["form"]
    body = {name: str(form[name].value() or "") for name in form.fields}
    assert client.post(url, {**body, "version": 1, "form_key": "k"}).status_code == 302
    record.refresh_from_db()
    assert record.items[0]["data"] == before


def test_an_address_means_the_same_to_a_reader_of_other_units(client):
    typed = {"units": "us", "bore_mm": "100", "rated_speed_rpm": "1780", "temperature_c": "158", "p1": "d"}
    asked = {**typed, "down_thrust_n": "6,000", "rotor_weight_n": "500 lb", "tolerance_mm": "0.5"}
    shown = {}
    for units in ("us", "si"):
        client.force_login(make_user("engineer", units=units))
        form = client.get(MATCH, asked).context["form"]
        assert form.cleaned_data["down_thrust_n"] == pytest.approx(6_000 * LBF_N)
        assert form.cleaned_data["rotor_weight_n"] == pytest.approx(500 * LBF_N)
        assert form.cleaned_data["tolerance_mm"] == pytest.approx(12.7)
        shown[units] = [
            str(form[name].value()) for name in ("down_thrust_n", "temperature_c", "rotor_weight_n")
        ]
    assert shown == {"us": ["6,000", "158", "500 lb"], "si": [f"{6_000 * LBF_N:.12g}", "70", "500 lb"]}


@pytest.mark.parametrize(
    ("room", "name", "said"),
    [
        ("guide", "end_play_um", "0 to 3.9\u00a0in. Or type the unit: µm, mil, mm"),
        ("policy", "assumed_temperature_c", "−40 to 482\u00a0°F. Or type the unit: °C"),
        ("policy", "unloaded_warn_ndm", "0 to 1,000,000,000"),
        ("policy", "minimum_speed_margin", "0 to 1,000%"),
        ("lubrication", "iso_vg", "2 to 3,200\u00a0cSt. Or type the unit: mm²/s"),
    ],
)
def test_a_us_reader_is_told_the_range_in_us_units(room, name, said):
    assert figure_of(field_spec(room, name), "us").accepted() == said


def test_a_refusal_names_the_range_in_the_readers_unit(client):
    client.force_login(make_user(units="us"))
    body = {"version": 1, "form_key": "g", "type": "deep_groove_ball", "end_play_um": "5 in"}
    answer = client.post(pages_of(make_stack_record())["guide"], body)
    assert answer.context["form"].errors["end_play_um"] == [
        "Number is out of range. Accepted: 0 to 3.9\u00a0in."
    ]


@pytest.mark.parametrize(
    ("formula", "said"),
    [
        (
            "qr As rise / 50 K; 50 K, the standard's rise",
            "qr As rise / 90 °F; 90 °F, the standard's rise",
        ),
        ("N at rated speed, 746 to 1491 W", "N at rated speed, 1.00 to 2.00 hp"),
        (
            "Cu = C0 / 22, rollers C0 / 8.2; less above dm 100 mm",
            "Cu = C0 / 22, rollers C0 / 8.2; less above dm 3.9370 in",
        ),
        ("oil = 28.6 W/(l/min K) flow rise", "oil = 0.0807 hp/(gpm °F) flow rise"),
        ("0.5^((temperature - 70) / 15), at most 1", "0.5^((temperature - 158) / 27), at most 1"),
        (
            "p = 3 Q / (2 pi a b), a = 25.4 mm, b = 2.54e-1 mm",
            "p = 3 Q / (2 pi a b), a = 1.0000 in, b = 0.0100 in",
        ),
        ("L10h at 1780 rpm, net 4448 N, share 0.7", "L10h at 1780 rpm, net 1,000 lbf, share 0.7"),
    ],
)
def test_a_formula_names_its_figures_in_the_readers_units(formula, said):
    assert formula_text(formula, Figures("us")).replace("\u00a0", " ") == said
    assert formula_text(formula, Figures("si")) == formula


# 28.6 W for 1 l/min and 1 K, in horsepower for 1 gpm and 1 °F: by hand.
def test_the_constant_of_oil_cooling_is_the_same_in_us_units():
    assert pytest.approx(0.0807, abs=5e-5) == 28.6 * GALLON_L * 5 / 9 / HP_W


@pytest.mark.parametrize(("units", "said"), [("us", "230 °F (110 °C)"), ("si", "110 °C")])
def test_the_caution_of_hot_bearings_is_in_the_shops_units(settings, units, said):
    settings.SHOP_UNITS = units
    told = " ".join(str(one.text) for one in cautions_for(StepKind.MOUNT)).replace("\u00a0", " ")
    assert f"no source: {said})" in told


@pytest.mark.parametrize(
    ("key", "typed", "unit", "units", "said"),
    [
        ("radial_load_n", "0", "lbf", "us", "0 lbf"),
        ("radial_load_n", "0", "lbf", "si", "0 N"),
        ("rotor_weight_n", "500", "lbf", "us", "500 lb"),
        ("rotor_weight_n", "500", "lbf", "si", "500 lb (2,224 N)"),
        ("rotor_weight_n", "2224.11", "N", "us", "2,224.11 N (500 lb)"),
        ("down_thrust_n", "500", "lbf", "us", "500 lbf"),
    ],
)
def test_a_weight_is_in_pounds_and_nothing_is_told_once(key, typed, unit, units, said):
    si = float(typed) * (LBF_N if unit == "lbf" else 1)
    entry = {"state": "read", "typed": typed, "unit": unit, "si": si}
    assert shown(BY_KEY[key], entry, units).replace("\u00a0", " ") == said


@pytest.mark.parametrize(
    ("um", "said"), [(0, "0 in"), (1, "0.00004 in"), (2.54, "0.0001 in"), (25.4, "0.0010 in")]
)
def test_a_small_length_never_reads_as_nothing(um, said):
    assert Figures("us").small_length(um).replace("\u00a0", " ") == said
    assert Figures("us").length(um / 1000).replace("\u00a0", " ") == said
