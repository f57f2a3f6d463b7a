"""Panels without a browser: set a control, read the number behind it, and hold it against the engine."""

from __future__ import annotations

import numpy as np
import pytest

from course.boats.datasets import row
from course.boats.quay import quay, quay_boats
from course.boats.series import pair
from course.engine import penetration_mm_per_year
from course.engine.isolator_curve import loop_current
from course.instruments.reference_cell import convert
from course.panels.kit import (
    AnodeSizing,
    BondingSurvey,
    CoupleExplorer,
    CreviceExplorer,
    IsolatorExplorer,
    LossCalculator,
    MarinaView,
    MetalChooser,
    SeasonPlayer,
)
from course.panels.kit.couples import ratio_words
from course.panels.kit.said import amperes
from course.panels.kit.scales import plain


def test_the_chooser_reads_against_the_chosen_cell() -> None:
    """Zinc, -1030 to -980 mV vs SCE as published, read against copper sulphate: 75 mV more negative (0.316 - 0.241 V).

    Both at 25 degC; the cell hangs in water of 18 degC and moves by a millivolt a kelvin or less.
    """
    panel = MetalChooser(first="zinc_anode", second="copper", water="sea_flowing", cell="copper_sulphate")
    low, high = next((low, high) for place, low, high in panel.found.rows if place.metal == "zinc_anode")
    assert (low, high) == (pytest.approx(-1105.0, abs=7.0), pytest.approx(-1055.0, abs=7.0))
    assert panel.found.suffers.metal == "zinc_anode"
    # midpoints of the published ranges: -1005 and -335 mV vs SCE
    assert panel.found.difference == pytest.approx(670.0)
    panel.controls["cell"].value = "saturated_calomel"
    low, high = next((low, high) for place, low, high in panel.found.rows if place.metal == "zinc_anode")
    assert low == pytest.approx(-1030.0, abs=7.0)
    assert high - low == pytest.approx(50.0)
    assert convert(-1.030, "saturated_calomel", "copper_sulphate") == pytest.approx(-1.105)


def test_ranges_that_overlap_are_said_to() -> None:
    panel = MetalChooser(first="naval_brass", second="copper", water="sea_flowing")
    assert panel.found.overlap
    assert "overlap" in panel.text()
    panel.set(first="copper")
    assert "nothing suffers" in panel.text()


def test_the_ratio_slider_moves_the_couple() -> None:
    panel = CoupleExplorer(first="mild_steel", second="copper", area=1e-2, water="sea_still", apart=True)
    losses = []
    for ratio in (0.1, 10.0, 1000.0):
        panel.controls["ratio"].value = ratio
        wanted = pair("sea_still", ("mild_steel", "copper"), (1e-2, 1e-2 * ratio))
        assert panel.found.pair.current.middle == pytest.approx(float(wanted.current.middle))
        losses.append(float(panel.found.pair.loss.middle))
        assert plain(losses[-1], 2) in panel.text()
    assert losses == sorted(losses)


def test_curves_cross_at_the_mixed_potential() -> None:
    """Where they touch, the current one gives is the current the other takes: read off the two curves themselves."""
    panel = CoupleExplorer(first="mild_steel", second="copper", apart=False, ratio=10.0)
    steel, copper = (panel.found.curves[name] for name in ("mild_steel", "copper"))
    gap = steel.current.middle + copper.current.middle
    crossing = float(np.interp(0.0, gap, steel.potential))
    couple = panel.found.pair
    assert float(couple.potential.low) - 0.003 < crossing < float(couple.potential.high) + 0.003
    assert float(couple.potential.middle) == pytest.approx(crossing, abs=0.006)


def test_faraday_by_hand() -> None:
    """Steel, 1 A/m2: 1.16 mm a year (ASTM G102); iron: 9.1 kg an ampere and year (textbooks, from memory)."""
    panel = LossCalculator(metal="mild_steel", current=1.0, area=1.0, sure=20.0)
    assert panel.found.mm_per_year.middle == pytest.approx(1.16, abs=0.01)
    assert panel.found.grams.middle == pytest.approx(9.1e3, rel=0.01)
    assert panel.found.grams.low == pytest.approx(0.8 * panel.found.grams.middle)
    panel.controls["current"].position = 0
    assert panel.controls["current"].value == 1e-4
    steel = row("metals", "mild_steel")
    again = penetration_mm_per_year(1e-4, steel["equivalent_weight_g"] * 1e-3, steel["density_kg_m3"])
    assert panel.found.mm_per_year.middle == pytest.approx(float(again))


def test_a_conductor_that_does_not_dissolve() -> None:
    assert "takes nothing" in LossCalculator(metal="graphite").text()


def test_the_player_stands_where_the_day_is() -> None:
    panel = SeasonPlayer(boat="marsh_lantern", water="sea_still", years=1, use=0.0, day=0.0)
    start = panel.found.share("hull_anode")
    assert start == (1.0, 1.0, 1.0)
    panel.controls["day"].value = 200.0
    low, middle, high = panel.found.share("hull_anode")
    assert low < middle < high < 1.0
    found = panel.found.track
    assert middle == pytest.approx(
        float(np.interp(200.0, found.days, found.mass["hull_anode"][1])) / found.mass["hull_anode"][1][0]
    )
    day = panel.controls["day"]
    assert day.stride > 0
    assert day.at(day.last) == pytest.approx(365.25, abs=1.0)
    panel.controls["day"].value = 1000.0
    assert panel.found.day == 365.25  # the player never stands beyond its end


def test_a_move_changes_the_water_she_lies_in() -> None:
    panel = SeasonPlayer(boat="marsh_lantern", water="sea_still", then="lake", moved=6, day=300.0)
    assert panel.found.water == "lake"
    assert "She moves on 1 Jul" in panel.text()
    panel.set(day=100.0)
    assert panel.found.water == "sea_still"


def test_a_crevice_loses_its_film_or_keeps_it() -> None:
    panel = CreviceExplorer(metal="stainless_304", gap=0.2, depth=10.0, ratio=100.0)
    assert panel.found.state.film[-1] < 0.01
    assert "the film in the gap fails" in panel.text()
    panel.controls["held"].value = True
    assert panel.found.state.film[-1] == 1.0
    assert "protected" in panel.text()
    panel.set(held=False, gap=100.0)
    assert panel.found.state.film[-1] == 1.0


def test_a_plug_makes_a_boat_pay() -> None:
    panel = MarinaView(cruiser="unplugged", workboat="unplugged", ketch="unplugged", sloop="unplugged")
    assert "No boat pays" in panel.text()
    plugged = dict.fromkeys((name for _, name in quay_boats()), "plain earth")
    panel.set(**plugged)
    wanted = quay(plugged, "sea_still")
    for mine, other in zip(panel.found.quay.boats, wanted.boats, strict=True):
        assert mine.earth.middle == other.earth.middle
    worst = min(wanted.boats, key=lambda boat: float(boat.earth.middle))
    assert f"{worst.label.capitalize()} pays: {amperes(-float(worst.earth.middle))}" in panel.text()
    panel.controls[worst.name].value = "isolator"
    cured = next(boat for boat in panel.found.quay.boats if boat.name == worst.name)
    assert abs(float(cured.earth.middle)) < 1e-4


def test_an_isolator_blocks_until_leakage_or_a_battery() -> None:
    panel = IsolatorExplorer(drive=0.6, ohm=1.0)
    assert panel.found.passes == pytest.approx(loop_current(0.6, 1.0))
    assert "It blocks" in panel.text()
    panel.controls["leakage"].value = 0.3
    assert "does not block" in panel.text()
    assert "leakage keeps its diodes conducting" in panel.text()
    panel.set(leakage=0.0, drive=12.0)
    assert "no isolator stops a battery" in panel.text()
    panel.set(state="failed open")
    assert "Danger" in panel.text()
    assert "cannot pass" in panel.text()


def test_a_bad_joint_costs_protection() -> None:
    panel = BondingSurvey(boat="marsh_lantern", bond="bond_strut_port", ohm=0.01)
    sound = panel.found.potential
    assert panel.found.worsened.verdict == "sound"
    panel.controls["ohm"].value = 100.0
    assert panel.found.worsened.verdict == "poor"
    assert panel.found.potential > sound + 100.0
    at = np.interp(np.log(100.0), np.log(panel.found.ohms), panel.found.curve)
    assert panel.found.potential == pytest.approx(float(at), abs=15.0)


def test_another_boat_offers_her_own_bonds() -> None:
    panel = BondingSurvey()
    other = next(v for _, v in panel.controls["boat"].options if v != panel.controls["boat"].value)
    panel.set(boat=other)
    assert panel.found.boat in panel.text()
    assert panel.controls["bond"].value in {v for _, v in panel.controls["bond"].options}


def test_more_anodes_last_longer() -> None:
    panel = AnodeSizing(fitted=2.0)
    two = panel.found.sized.life
    panel.controls["fitted"].value = 4.0
    assert panel.found.sized.life == pytest.approx(2.0 * two)
    panel.set(fitted=0.0, years=10.0)
    assert panel.found.sized.life >= 10.0 * 365.25 * 86400.0


def test_what_the_engine_refuses_is_said_in_its_sentence() -> None:
    """Magnesium at -1.50 V drives; zinc at -1.00 V drives steel at -0.80 V: a plate thicker than half its width is no plate."""
    panel = AnodeSizing(thick=120.0, wide=30.0, alloy="zinc")
    assert panel.text()
    assert panel.found is not None


def test_ratios_read_both_ways() -> None:
    assert ratio_words(10.0) == "10 : 1"
    assert ratio_words(0.001) == "1 : 1 000"
