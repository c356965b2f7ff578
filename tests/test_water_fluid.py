import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.errors import BadRequest
from folder.water.fluid import Water, density_kg_per_m3, surface_tension_mn_per_m


@pytest.mark.parametrize(("temp_c", "density"), [(0, 999.8428), (10, 999.7027), (15, 999.1026), (20, 998.2067), (30, 995.6488)])
def test_fresh_water_has_the_density_of_tanaka(temp_c: float, density: float) -> None:
    """Tanaka et al., Metrologia 38 (2001) 301-309, printed values."""
    assert density_kg_per_m3(temp_c) == pytest.approx(density, abs=6e-5)


@pytest.mark.parametrize(("temp_c", "salt", "density"), [(5, 35, 1027.67547), (25, 35, 1023.34306), (5, 0, 999.96675)])
def test_sea_water_has_the_density_unesco_prints(temp_c: float, salt: float, density: float) -> None:
    """Check values of EOS-80 in UNESCO technical papers in marine science 44 (1983); from memory.

    They stand on another fresh water than Tanaka's: a gram in a cubic metre apart.
    """
    assert density_kg_per_m3(temp_c, salt) == pytest.approx(density, abs=2e-3)


@pytest.mark.parametrize(("temp_c", "tension"), [(10, 74.22), (20, 72.74), (25, 71.97), (40, 69.60)])
def test_surface_tension_is_that_of_iapws(temp_c: float, tension: float) -> None:
    """IAPWS R1-76(2014), table."""
    assert surface_tension_mn_per_m(temp_c) == pytest.approx(tension, abs=6e-3)


@pytest.mark.parametrize(("contact_deg", "standing_mm"), [(30, 1.41), (60, 2.73), (90, 3.86), (180, 5.45)])
def test_water_stands_above_an_edge_by_the_capillary_formula(contact_deg: float, standing_mm: float) -> None:
    """2 l sin(q / 2): de Gennes, Brochard-Wyart, Quere, Capillarity and Wetting Phenomena, 2004. At 20 C l = 2.726 mm."""
    water = Water.of(20.0)
    assert water.capillary_mm == pytest.approx(2.726, abs=5e-4)
    assert water.standing_mm(math.radians(contact_deg)) == pytest.approx(standing_mm, abs=6e-3)


@given(st.floats(0, 40), st.floats(0, 42))
def test_salt_makes_water_heavier(temp_c: float, salt: float) -> None:
    assert density_kg_per_m3(temp_c, salt) >= density_kg_per_m3(temp_c)


@pytest.mark.parametrize("temp_c", [-1.0, 40.1, 300.0, math.nan, math.inf])
def test_water_that_is_no_tub_water_is_refused_in_one_line(temp_c: float) -> None:
    with pytest.raises(BadRequest, match="the water must be from 0 to 40 °C") as caught:
        Water.of(temp_c)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("salt", [-1.0, 43.0, math.nan])
def test_salt_no_sea_has_is_refused(salt: float) -> None:
    with pytest.raises(BadRequest, match="salt must be from 0 to 42 g"):
        Water.of(20.0, salt)
