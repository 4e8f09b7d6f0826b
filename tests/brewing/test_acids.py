import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.acids import Acid, acid_meq_per_ml, acid_mmol_per_ml, protons_per_mole
from wortwright.brewing.errors import OutOfRangeError


@given(st.floats(2.0, 12.0))
def test_an_acid_gives_up_more_protons_the_higher_the_ph(ph):
    for acid, most in ((Acid.LACTIC, 1.0), (Acid.PHOSPHORIC, 3.0)):
        assert 0.0 < protons_per_mole(acid, ph) <= protons_per_mole(acid, ph + 0.1) < most


def test_phosphoric_acid_gives_one_proton_in_a_mash_and_not_three():
    assert protons_per_mole(Acid.PHOSPHORIC, 5.4) == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize(
    ("acid", "constant", "protons"),
    [
        (Acid.LACTIC, 3.86, 0.5),
        (Acid.PHOSPHORIC, 2.148, 0.5),
        (Acid.PHOSPHORIC, 7.198, 1.5),
        (Acid.PHOSPHORIC, 12.35, 2.5),
    ],
)
def test_half_of_a_proton_is_given_up_at_its_constant(acid, constant, protons):
    # Constants at 25 degC, handbook values from memory.
    assert protons_per_mole(acid, constant) == pytest.approx(protons, abs=1e-4)


@given(st.floats(1.0, 79.0))
def test_a_stronger_solution_holds_more_acid(strength):
    for acid in Acid:
        assert acid_mmol_per_ml(acid, strength) < acid_mmol_per_ml(acid, strength + 1.0)


@pytest.mark.parametrize(
    ("acid", "strength"), [(Acid.LACTIC, 90.0), (Acid.PHOSPHORIC, 86.0), (Acid.LACTIC, 0.0)]
)
def test_a_strength_that_is_not_sold_is_refused(acid, strength):
    with pytest.raises(OutOfRangeError):
        acid_meq_per_ml(acid, strength, 5.4)
