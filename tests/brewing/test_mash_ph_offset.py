import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.mash_ph_offset import PhInstrument, PhReading, learn_ph_offset

METER, STRIP = PhInstrument.METER, PhInstrument.STRIP


def read(missed, instrument=METER):
    return PhReading(5.4, 5.4 + missed, instrument)


def test_without_a_reading_there_is_no_offset_and_the_stated_error():
    learnt = learn_ph_offset([])
    assert (learnt.offset_ph, learnt.readings_used) == (0.0, 0)
    assert learnt.half_width == pytest.approx(0.2)


@given(st.lists(st.floats(-0.5, 0.5), max_size=10))
def test_strips_teach_nothing(misses):
    readings = [read(missed, STRIP) for missed in misses]
    assert learn_ph_offset([*readings, read(0.1)]) == learn_ph_offset([read(0.1)])


def test_one_reading_is_not_believed_wholly():
    # normal prior of spread 0.1, reading of spread 0.06: 0.1 / (1 + 0.36), by hand
    assert learn_ph_offset([read(0.1)]).offset_ph == pytest.approx(0.0735, abs=1e-4)


@given(st.floats(-0.3, 0.3), st.integers(1, 20))
def test_more_readings_draw_the_offset_to_their_mean_and_narrow_the_error(missed, count):
    few, many = (learn_ph_offset([read(missed)] * n) for n in (count, count + 1))
    assert abs(many.offset_ph - missed) <= abs(few.offset_ph - missed)
    assert many.half_width < few.half_width


def test_a_hot_reading_is_cooled_first():
    # 0.35 lower at 65 degC
    learnt = learn_ph_offset([PhReading(5.4, 5.05, METER, 65.0)] * 30)
    assert learnt.offset_ph == pytest.approx(0.0, abs=0.005)
