"""Volts and amperes: loading, the needle, wrong and ailing cells, ranges, jacks, the fuse. Each trap gives its own reading."""

from __future__ import annotations

import gsw
import pytest

from course.boats.afloat import Afloat
from course.boats.datasets import row
from course.boats.plan import Kit
from course.instruments.needle import OHM_PER_VOLT
from course.instruments.reference_cell import settled_potential

SEA, SATURATED, COPPER, ZINC = (
    "silver_chloride_sea_water",
    "silver_chloride_saturated",
    "copper_sulphate",
    "zinc_sea_water",
)
HOUR = 60


def number(display: str) -> float:
    return float(display.split()[0])


def hung(slip, minutes=HOUR, point="common_bonding_point", dial="2 V"):
    """Cell in COM, test lead in V, as taught; the cell wet for a while."""
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip(point)
    slip.turn_dial(dial)
    slip.hang_cell(3.0, 0.8)
    slip.wait(minutes)
    return slip


def volts_with(bench, **kit):
    return number(hung(bench(kit=Kit(cells=(SEA, SATURATED, COPPER, ZINC), noise_mV=0.0, **kit))).display)


def test_an_analogue_meter_loads_the_cell_by_ohms_law(bench):
    """20 kohm/V at 2.5 V is 50 kohm beside the cell's 4 kohm: the needle shows 50/54 of the open-circuit voltage."""
    slip = hung(bench())
    open_circuit = number(slip.display)
    slip.take_meter("analogue")
    slip.plug("cell lead", "V")  # its needle goes one way only
    slip.plug("test lead", "COM")
    slip.turn_dial("2.5 V")
    load = 2.5 * OHM_PER_VOLT
    assert number(slip.display) == pytest.approx(-open_circuit * load / (load + 4000), abs=0.026)
    slip.turn_dial("0.5 V")
    assert slip.display == "beyond the scale V"
    slip.turn_dial("10 V")  # four times the resistance loads it less; half a division is 0.1 V
    assert number(slip.display) == pytest.approx(-open_circuit, abs=0.1)


def test_a_needle_lies_against_its_stop_when_the_leads_are_swapped(bench):
    slip = hung(bench())
    slip.take_meter("analogue")
    slip.turn_dial("2.5 V")
    assert slip.display == "below 0 V"
    view = slip.view()["meter"]
    assert view["needle"] < 0
    assert view["kind"] == "analogue"
    slip.turn_dial("off")
    assert slip.view()["meter"]["needle"] is None
    assert slip.display == ""


def test_the_analogue_meter_has_no_jack_for_amperes(bench):
    slip = bench()
    slip.plug("test lead", "A")
    slip.take_meter("analogue")
    assert slip.view()["meter"]["jacks"] == ["COM", "V"]
    assert slip.state.test_jack is None


@pytest.mark.parametrize("cell", [SATURATED, COPPER, ZINC])
def test_the_wrong_kind_of_cell_shifts_the_reading_by_the_difference_of_the_cells(bench, cell):
    """The difference of two settled cells in this water: from the table's published potentials and coefficients."""
    slip = hung(bench())
    right = number(slip.display)
    slip.take_cell(cell)
    assert slip.state.cell is None  # another cell comes out of the box dry
    hung(slip, minutes=3 * HOUR, dial="20 V" if abs(right) > 1.9 else "2 V")
    water = Afloat(slip.plan).water
    silver, other = (settled_potential(row("reference_cells", name), water) for name in (SEA, cell))
    assert number(slip.display) == pytest.approx(right + silver - other, abs=0.003)


def test_zinc_reads_small_and_positive_where_silver_reads_large_and_negative(bench):
    slip = hung(bench())
    assert number(slip.display) < -0.7
    slip.take_cell(ZINC)
    hung(slip, minutes=2 * HOUR)
    assert -0.2 < number(slip.display) < 0.35


def test_a_dry_cell_is_loaded_even_by_ten_megohm_and_soaks_within_hours(bench):
    sound = number(hung(bench()).display)
    slip = hung(bench(kit=Kit(cell_condition="dry", noise_mV=0.0)), minutes=20)
    early = number(slip.display)
    assert early > 0.8 * sound  # less negative: 6 Mohm beside the meter's 10
    slip.wait(24 * HOUR)
    assert number(slip.display) == pytest.approx(sound, abs=0.003)


def test_a_dry_cell_makes_the_digits_jump(bench):
    def spread(condition):
        slip = hung(bench(kit=Kit(cell_condition=condition, noise_mV=0.6)), minutes=1200)
        slip.wait(600)
        values = [1000 * float(slip.record()["display"]) for _ in range(12)]
        return max(values) - min(values)

    assert spread("dry") > 3 * spread("good")


def test_a_contaminated_silver_cell_reads_less_negative_and_stays_so(bench):
    sound, off = volts_with(bench), volts_with(bench, cell_condition="contaminated")
    assert 0.034 <= off - sound <= 0.087


def test_a_cracked_cell_wanders_with_the_hours(bench):
    slip = hung(bench(kit=Kit(cell_condition="cracked", noise_mV=0.0)), minutes=40)
    early = number(slip.display)
    slip.wait(300)
    assert number(slip.display) > early + 0.05


def test_a_cracked_saturated_cell_becomes_one_open_to_the_sea(bench):
    cracked = hung(bench(kit=Kit(cell=SATURATED, cell_condition="cracked", noise_mV=0.0)), minutes=24 * HOUR)
    assert number(cracked.display) == pytest.approx(number(hung(bench()).display), abs=0.003)


def test_only_the_cell_in_hand_at_the_start_ails(bench):
    slip = bench(kit=Kit(cell_condition="contaminated", cells=(SEA, SATURATED), noise_mV=0.0))
    slip.take_cell(SATURATED)
    sound = bench()
    sound.take_cell(SATURATED)
    assert hung(slip).display == hung(sound).display


def test_auto_takes_the_smallest_range_that_holds(bench):
    slip = hung(bench(), dial="auto V")
    assert slip.display.endswith(" V")
    assert len(slip.display.split()[0].split(".")[1]) == 3
    slip.clip("battery_positive")
    assert len(slip.display.split()[0].split(".")[1]) == 2
    slip.plug("cell lead", None)
    slip.plug("long lead", "COM")
    slip.clip("common_bonding_point")
    slip.clip("engine", lead="long lead")
    assert slip.display.endswith(" mV")


def test_the_battery_reads_its_volts_less_its_load(bench):
    slip = bench()
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    slip.clip("battery_positive")
    slip.clip("battery_negative", lead="long lead")
    slip.turn_dial("20 V")
    assert number(slip.display) == pytest.approx(12.7 - (3.0 + 1.5 + 4.0) * 0.01, abs=0.02)
    slip.battery_switch(False)
    assert number(slip.display) == pytest.approx(12.7 - 3.0 * 0.01, abs=0.02)  # the bilge pump runs on


def test_the_ampere_jack_across_the_battery_blows_its_fuse_wherever_the_dial_stands(bench):
    slip = bench()
    slip.plug("long lead", "COM")
    slip.clip("battery_negative", lead="long lead")
    slip.plug("test lead", "A")
    assert slip.clip("battery_positive")["fuse_blew"] is True
    assert "fuse" in slip.view()["said"]
    assert slip.view()["meter"]["fuse_blown"] is True
    slip.turn_dial("200 mA")
    assert slip.display == "0.0 mA"
    assert slip.change_fuse()["fuse_blew"] is True  # still across the battery
    slip.clip(None)
    slip.change_fuse()
    assert slip.view()["meter"]["fuse_blown"] is False
    assert "fuse" not in slip.text()


def test_milliamperes_in_place_of_an_opened_anode_lead_are_fewer_than_the_open_volts_promise(bench):
    """Shunt, leads, water and metals stand in series: 10.3 ohm or more, so less than the open voltage over those alone."""
    slip = bench()
    slip.open_link("hull_anode_lead")
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    slip.clip("common_bonding_point")
    slip.clip("hull_anode", lead="long lead")
    slip.turn_dial("2 V")
    open_volts = number(slip.display)
    slip.plug("test lead", "A")
    slip.turn_dial("200 mA")
    most = 1000 * open_volts / (10 + 0.1 + 0.3)
    assert open_volts > 0.05
    assert 0.2 * most < number(slip.display) < most


def test_a_cell_through_the_shunt_is_nearly_shorted(bench):
    slip = hung(bench())
    volts = number(slip.display)
    slip.turn_dial("200 mA")
    slip.plug("test lead", "A")
    assert number(slip.display) == pytest.approx(1000 * volts / (4000 + 10), abs=0.051)


def test_paint_under_the_clip_hardly_matters_to_ten_megohm(bench):
    slip = hung(bench(), point="engine")
    painted = number(slip.display)
    slip.clip("engine", scraped=True)
    assert number(slip.display) == pytest.approx(painted, abs=0.0011)


def test_paint_under_the_clip_loads_a_needle_further(bench):
    slip = hung(bench(), point="engine")
    slip.take_meter("analogue")
    slip.plug("cell lead", "V")
    slip.plug("test lead", "COM")
    slip.turn_dial("2.5 V")
    painted = slip.view()["meter"]["needle"]
    slip.clip("engine", scraped=True)
    assert slip.view()["meter"]["needle"] > painted


def test_scraping_takes_its_time_once(bench):
    slip = bench()
    slip.clip("seacock", scraped=True)
    assert slip.state.minute == 3
    slip.clip("seacock", scraped=True)
    assert slip.state.minute == 4


def test_thermometer_and_conductivity_meter_read_the_water(bench):
    slip = bench(temperature_degC=14.6, salinity=33.0)
    found = slip.record("thermometer")
    assert (found["display"], found["unit"], found["instrument"]) == ("14.6", "degC", "thermometer")
    reading = slip.record("conductivity meter")
    expected = gsw.C_from_SP(33.0, 14.6, 0.0) / 10  # S/m, TEOS-10 as gsw has it
    assert reading["unit"] == "S/m"
    assert float(reading["display"]) == pytest.approx(expected, rel=0.012)
