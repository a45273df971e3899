"""Which hypothesis is believed, and which is asked back."""

from __future__ import annotations

from assistant.language.models import Context
from assistant.language.understand import understand
from assistant.voice.judge import Belief, judge
from knowledge import load
from tests.language.notes import asked_for
from tests.voice.phrases import phrase

KB = load()
FREE = Context(spoken=True)


def test_a_clear_note_is_accepted() -> None:
    found = judge(phrase("contactor is out"), KB, FREE)
    assert (found.belief, found.text) == (Belief.ACCEPT, "contactor is out")


def test_the_hypothesis_that_means_something_wins() -> None:
    found = judge(phrase("herm reads thirty eight to line two", "herm reads thirty eight point two"), KB, FREE)
    assert found.text == "herm reads thirty eight point two"


def test_two_numbers_that_both_make_sense_are_asked() -> None:
    found = judge(phrase("herm reads fifty", "herm reads fifteen"), KB, FREE)
    assert found.belief is Belief.ASK
    assert {found.text, found.other} == {"herm reads fifty", "herm reads fifteen"}


def test_the_pending_check_decides_between_fifteen_and_fifty_where_one_is_off_its_range() -> None:
    asked = Context(asked=asked_for("check:uf_fan"), spoken=True)  # a fan section reads 0 to 30
    found = judge(phrase("fifty microfarads", "fifteen microfarads"), KB, asked)
    assert found.other == ""
    assert [item.value for item in understand(found.text, KB, asked).heard] == [15.0]


def test_the_likeliest_other_thing_is_read_back_second() -> None:
    heard = ("two thirty eight low side", "two thirty eight load side", "thirty eight low side")
    assert judge(phrase(*heard), KB, FREE).other == "two thirty eight load side"


def test_the_same_thing_in_other_words_does_not_push_a_hypothesis_down() -> None:
    same = ("compressor is slime", "the compressor is slime", "compressor just slime", "the compressor just slime")
    assert judge(phrase(*same, "compressor is humming", ahead=0.01), KB, FREE).text == "compressor is humming"


def test_what_is_far_behind_in_the_score_weighs_less_than_what_is_close() -> None:
    heard = ("compressor is slime", "compressor is humming")
    assert judge(phrase(*heard, ahead=0.02), KB, FREE).text == "compressor is humming"
    assert judge(phrase(*heard, ahead=0.3), KB, FREE).text == "compressor is slime"


def test_a_long_note_that_sounds_much_like_talk_is_none() -> None:
    words = "the upstream drops six milliamps all over the yard"
    talk = phrase(words, fit=0.89, sure=0.0, talk=0.27)
    assert judge(talk, KB, FREE).belief is Belief.REJECT
    clear = phrase("two forty line side and nothing on the load side", fit=0.89, sure=0.0)
    assert judge(clear, KB, FREE).belief is Belief.ASK


def test_a_number_torn_from_its_unit_is_asked_back() -> None:
    torn = judge(phrase("herm wire five blade fuse amps"), KB, FREE)
    assert torn.belief is Belief.ASK
    assert judge(phrase("herm wire five point two amps"), KB, FREE).belief is Belief.ACCEPT


def test_a_correction_to_the_number_that_is_corrected_is_another_number_misheard() -> None:
    asked = asked_for("check:uf_herm")
    last = understand("fourteen", KB, Context(asked=asked)).heard
    found = judge(phrase("i meant fourteen", "i meant forty"), KB, Context(asked=asked, last=last, spoken=True))
    assert found.text == "i meant forty"


def test_thousands_of_a_unit_are_asked_back() -> None:
    assert judge(phrase("fan common to run twenty k ohms"), KB, FREE).belief is Belief.ASK
    assert judge(phrase("fan common to run twenty two ohms"), KB, FREE).belief is Belief.ACCEPT


def test_a_finding_on_a_guessed_part_is_asked_back() -> None:
    assert judge(phrase("compressor is faulty"), KB, FREE).belief is not Belief.ACCEPT


def test_what_sounds_like_talk_is_asked_back_where_it_is_a_whole_note_and_else_rejected() -> None:
    assert judge(phrase("liquid line one oh five", talk=0.6), KB, FREE).belief is Belief.ASK
    assert judge(phrase("not line for five tubes", talk=0.6), KB, FREE).belief is Belief.REJECT


def test_what_nobody_says_of_the_part_is_asked_back() -> None:
    asked = Context(asked=asked_for("check:look_capacitor"), spoken=True)  # "both running" was heard as "the running"
    assert judge(phrase("the running"), KB, asked).belief is Belief.ASK


def test_a_long_note_that_is_sure_of_nothing_is_talk() -> None:
    talk = "the blower belt is dead and doesnt pump down"
    assert judge(phrase(talk, fit=0.7, sure=0.005), KB, FREE).belief is Belief.REJECT
    assert judge(phrase(talk, fit=0.7, sure=0.2), KB, FREE).belief is Belief.ASK
    assert judge(phrase(talk, fit=0.95, sure=0.005), KB, FREE).belief is Belief.ASK


def test_words_without_meaning_are_not_caught() -> None:
    assert judge(phrase("nine pounds the dome forty on lead relay"), KB, FREE).belief is not Belief.ACCEPT
    assert judge(phrase(), KB, FREE).belief is Belief.REJECT


def test_sound_that_does_not_fit_its_words_is_not_caught() -> None:
    assert judge(phrase("contactor is out", fit=0.05), KB, FREE).belief is Belief.REJECT
    assert judge(phrase("contactor is out", fit=0.05, snr_db=6), KB, FREE).belief is Belief.NOISE


def test_over_loud_noise_nothing_is_taken_without_a_question() -> None:
    assert judge(phrase("contactor is out", snr_db=9), KB, FREE).belief is Belief.ASK


def test_in_noise_a_note_is_taken_at_once_only_where_it_is_well_ahead_of_what_means_something_else() -> None:
    heard = ("contactor is out", "contactor is burnt")
    assert judge(phrase(*heard, snr_db=22, ahead=0.2), KB, FREE).belief is Belief.ACCEPT
    assert judge(phrase(*heard, snr_db=22, ahead=0.05), KB, FREE).belief is Belief.ASK
    same = ("contactor is out", "the contactor is out", "contactor is burnt")
    assert judge(phrase(*same, snr_db=22, ahead=0.06), KB, FREE).belief is Belief.ACCEPT


def test_a_lone_hypothesis_in_noise_must_be_sure_and_compared_with_others() -> None:
    assert judge(phrase("contactor is out", snr_db=22, sure=0.7), KB, FREE).belief is Belief.ACCEPT
    assert judge(phrase("contactor is out", snr_db=22, sure=0.5), KB, FREE).belief is Belief.ASK
    assert judge(phrase("contactor is out", snr_db=22, compared=False), KB, FREE).belief is Belief.ASK
    assert judge(phrase("contactor is out", snr_db=30, compared=False), KB, FREE).belief is Belief.ACCEPT


def test_in_a_quiet_place_too_what_means_something_else_must_not_be_level() -> None:
    heard = ("twenty five volts on o to c", "twenty five volts r to c")
    assert judge(phrase(*heard, ahead=0.01), KB, FREE).belief is Belief.ASK


def test_a_finding_on_a_part_that_was_not_named_gives_way_to_one_that_was() -> None:
    heard = ("float is down", "power is on")
    assert judge(phrase(*heard), KB, FREE).text == "power is on"


def test_microfarads_that_are_on_no_capacitor_are_others_misheard() -> None:
    heard = ("cap is a fourteen over five", "cap is a forty over five")
    assert judge(phrase(*heard), KB, FREE).text == "cap is a forty over five"


def test_a_teen_in_a_large_number_is_a_ten_misheard_but_one_eighteen_is_usual() -> None:
    heard = phrase("two fourteen line side", "two forty line side", ahead=0.01)
    assert judge(heard, KB, FREE).text == "two forty line side"
    heard = ("suction pressure one eighteen", "suction pressure one eighty")
    assert judge(phrase(*heard), KB, FREE).text == heard[0]


def test_a_value_with_its_place_is_no_talk_however_unsure() -> None:
    heard = phrase("twenty four point eight volts at the coil", fit=0.7, sure=0.05)
    assert judge(heard, KB, FREE).belief is Belief.ASK


def test_a_repair_or_power_heard_is_always_asked_back() -> None:
    for text in ("replaced the capacitor", "power is on"):
        assert judge(phrase(text), KB, FREE).belief is Belief.ASK


def test_what_is_not_the_recognisers_own_first_choice_is_asked_back() -> None:
    found = judge(phrase("contactor is oat", "contactor is out"), KB, FREE)
    assert (found.belief, found.text) == (Belief.ASK, "contactor is out")


def test_talk_about_many_things_at_once_is_no_note() -> None:
    salad = "time left glasses on the fan is humming by myself"
    assert judge(phrase(salad), KB, FREE).belief is not Belief.ACCEPT


def test_a_lone_answer_to_nothing_is_asked_back() -> None:
    assert judge(phrase("no"), KB, FREE).belief is not Belief.ACCEPT
    asked = Context(asked=asked_for("check:look_capacitor"), spoken=True)
    assert judge(phrase("no"), KB, asked).belief is Belief.ACCEPT
    assert judge(phrase("no", fit=0.87), KB, asked).belief is Belief.ASK


def test_only_a_loud_place_is_blamed_for_what_is_not_heard() -> None:
    assert judge(phrase("contactor is out", fit=0.05, snr_db=23), KB, FREE).belief is Belief.REJECT
    assert judge(phrase("contactor is out", fit=0.05, snr_db=18), KB, FREE).belief is Belief.NOISE
