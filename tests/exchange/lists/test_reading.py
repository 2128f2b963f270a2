"""Lists read: what is said is taken, what is likely is a guess, the rest is asked."""

from __future__ import annotations

import pytest

from levelhead.errors import ListError
from levelhead.exchange.lists import empty_show, list_edits, list_show, plan_list, read_list
from levelhead.gear.book import load_book
from levelhead.planning.trial import try_show
from levelhead.show.edits import AddItem, Plug, Set, Unplug, apply

BAND = "1 kick / 2 snare / 3 hh / 4 oh l / 5 oh r / 6 bass DI / 7 gtr amp / 8/9 keys / 10 vox Anna"


def test_a_line_of_a_whole_list_is_split() -> None:
    read = read_list(BAND)
    assert [channel.numbers for channel in read.channels] == [
        (1,), (2,), (3,), (4,), (5,), (6,), (7,), (8, 9), (10,),
    ]  # fmt: skip
    assert read.channels[7].is_pair
    assert read.is_understood


def test_every_guess_names_the_words_that_it_came_from() -> None:
    for channel in read_list(BAND).channels:
        assert all(guess.words and guess.why and guess.taken for guess in channel.guesses)
    kick = read_list(BAND).channels[0]
    assert [(guess.about, guess.words) for guess in kick.guesses] == [("microphone", "kick")]


def test_an_unknown_word_is_a_question_and_its_answer_counts_for_all_its_rows() -> None:
    read = read_list("Ch;Source;Mic\n1;Snare;Zorg 58\n2;Vox Anna;zorg 58\n3;Kick;dyn")
    (question,) = read.questions
    assert (question.key, question.where) == ("zorg 58", ("row 2", "row 3"))
    offered = [choice.answer for choice in question.choices]
    assert offered[:3] == ["dynamic", "condenser", "mic-instrument-dynamic"]
    answered = read.answered({"zorg 58": "dynamic"})
    assert answered.is_understood
    items = [channel.item for channel in answered.channels]
    assert items == ["mic-instrument-dynamic", "mic-vocal-dynamic", "mic-kick-dynamic"]


def test_a_note_that_says_only_wireless_counts_as_gear_of_a_microphone() -> None:
    """Columns of notes say how it comes; prose and boxes stay as they are."""
    head = "Ch;Source;Mic;Notes"
    rows = ["1;Lead vox;vocal mic;wireless", "2;Vox 2;vocal mic;wireless only as a spare"]
    read = read_list("\n".join([head, *rows, "3;Keys;DI;wireless", "4;Vox 3;vocal mic;"]))
    items = [channel.item for channel in read.channels]
    assert items[0] == "wireless-handheld"
    assert items[1] == items[3] == "mic-vocal-dynamic"
    assert items[2] == "keyboard-stereo"
    assert read.channels[0].note == "wireless"


def test_an_answer_that_means_nothing_is_refused() -> None:
    with pytest.raises(ListError, match="the answer 'blah' means nothing here"):
        read_list("1 kick\n2 zork", answers={"zork": "blah"})


def test_a_list_makes_a_show_that_can_be_solved() -> None:
    read = read_list(BAND, name="friday-band.txt")
    show = list_show(read, plan_list(read))
    assert show.name == "Friday band"
    assert show.items["desk"].type == "mixer-analogue-16"
    assert len({link.ends["b"] for link in show.links if "desk" in link.items}) == 10
    assert try_show(show, load_book()).judgement.findings


def test_the_same_list_again_changes_nothing() -> None:
    read = read_list(BAND)
    show = list_show(read, plan_list(read))
    assert list_edits(read, show) == ()


def test_rows_that_change_places_are_plugged_again_and_nothing_else_changes() -> None:
    read = read_list(BAND)
    show = list_show(read, plan_list(read))
    edits = list_edits(read_list("1 snare\n2 kick"), show)
    assert [type(edit) for edit in edits] == [Unplug, Unplug, Plug, Plug]
    after = apply(show, edits)[0]
    assert {**after.items} == {**show.items}
    link = after.link_at("desk.ch1.mic")
    assert link is not None
    assert link.ends["a"] == "mic-snare.out"


def test_a_channel_that_is_taken_is_asked_about() -> None:
    read = read_list(BAND)
    show = list_show(read, plan_list(read))
    guest = read_list("1 Trumpet solo\n2 snare")
    plan = plan_list(guest, show)
    (question,) = plan.questions
    assert plan.edits == ()
    assert question.key == "taken desk.ch1.mic"
    edits = list_edits(guest, show, {"taken desk.ch1.mic": "next"})
    added = [edit.item.type for edit in edits if isinstance(edit, AddItem)]
    assert added == ["mic-instrument-dynamic"]
    assert apply(show, edits)[0].link_at("desk.ch11.mic") is not None


def test_words_that_nobody_knows_beside_known_ones_are_told() -> None:
    """What they would have said is not taken as said."""
    (kick,) = read_list("Ch;Source;Mic\n1;Kick;zorg style dynamic").channels
    told = {guess.about: guess.words for guess in kick.guesses}
    assert told["words"] == "zorg style"


@pytest.mark.parametrize("separator", [",", ";"])
def test_numbers_count_where_every_line_has_one_comma(separator: str) -> None:
    """Two columns by its commas, but the number before each name is its channel."""
    read = read_list(f"3 kick{separator} condenser\n7 vox Anna{separator} dynamic\n")
    assert [(each.numbers, each.name) for each in read.channels] == [
        ((3,), "kick"),
        ((7,), "vox Anna"),
    ]


@pytest.mark.parametrize(
    ("line", "metres"),
    [
        ("vox Anna, condenser, 10,5 m", 10.5),
        ("kick, 10 m", 10.0),
        ("snare - dynamic, 16 ft", 4.877),
    ],
)
def test_a_length_at_the_end_of_a_line_is_its_cable(line: str, metres: float) -> None:
    """It is told as a guess; the cable of the show is that long."""
    read = read_list(f"1 {line}\n2 toms")
    channel = read.channels[0]
    assert channel.cable_m == metres
    assert "cable" in [guess.about for guess in channel.guesses]
    (plug,) = [
        edit.link
        for edit in plan_list(read).edits
        if isinstance(edit, Plug) and "desk.ch1.mic" in edit.link.ends.values()
    ]
    assert plug.via[0].length_m == metres


@pytest.mark.parametrize(
    ("line", "setting"),
    [
        ("kick in, condenser, pad", ("mic-kick-in.pad", "10-db")),
        ("oh (condenser, pad -10dB)", ("mic-oh.pad", "10-db")),
        ("bass DI, pad", ("di-bass-di.pad", "20-db")),
        ("ac gtr with pad", ("di-ac-gtr.pad", "20-db")),
    ],
)
def test_a_pad_is_the_switch_of_the_gear_that_has_one(line: str, setting: tuple[str, str]) -> None:
    plan = plan_list(read_list(f"1 {line}\n2 vox Anna"))
    assert Set(*setting) in plan.edits


def test_a_pad_that_nothing_has_is_told() -> None:
    plan = plan_list(read_list("1 snare, pad -20 dB\n2 vox Anna"))
    assert any("'snare' wants a pad" in note and "pad-20" in note for note in plan.notes)


def test_a_pad_for_drumming_is_an_instrument() -> None:
    read = read_list("1 drum pad\n2 pads")
    assert [(each.thing, each.pad) for each in read.channels] == [("drum-machine", False)] * 2


def test_a_column_of_pads_is_read() -> None:
    read = read_list("Ch;Source;Mic;Pad\n1;Kick;cond;x\n2;Snare;dyn;\n3;Toms;cond;-")
    assert [each.pad for each in read.channels] == [True, False, False]


LARKS = """Ch;What;Mic / DI;Stand;48V;Remarks
1;Kick;dyn;short;-;
5;Bass;DI;;;has active bass, own amp
6;OH;condenser;tall;yes;
8-9;Keys L/R;2x DI;;;
10;Ld Vox;own radio mic;;NO!;
Mon 1;Lena;;;;wedge
Mon 2;Drums;;;;in ears"""


def test_a_monitor_mix_is_no_input_and_that_is_told() -> None:
    read = read_list(LARKS)
    assert [each.numbers for each in read.channels] == [(1,), (5,), (6,), (8, 9), (10,)]
    told = [each.text for each in read.skipped if each.why.startswith("a mix that leaves the desk")]
    assert told == ["Mon 1 | Lena | wedge", "Mon 2 | Drums | in ears"]
    assert read.is_understood


def test_a_number_with_a_note_and_no_source_is_told() -> None:
    """An empty row with a number is none; one on which somebody wrote is not passed over."""
    read = read_list("Ch;Source;Mic;Notes\n1;Kick;dyn;\n2;;;\n3;;;ask the drummer")
    assert [each.numbers for each in read.channels] == [(1,)]
    assert [each.text for each in read.skipped] == ["3 | ask the drummer"]


def test_a_monitor_number_beside_a_microphone_is_asked_about() -> None:
    """It may be the number of a channel at the monitor desk."""
    read = read_list("Ch;Source;Mic\n1;Kick;dyn\nMon 2;Vox Lena;dyn")
    (question,) = read.questions
    assert question.ask == "Does 'Vox Lena' leave the desk, or is it an input?"
    assert [each.name for each in read.answered({question.key: "input"}).channels] == [
        "Kick",
        "Vox Lena",
    ]
    assert len(read.answered({question.key: "leave-out"}).channels) == 1


@pytest.mark.parametrize(
    ("line", "item", "box"),
    [
        ("active bass", "bass-active", "di-active"),
        ("bass (has active bass)", "bass-active", "di-active"),
        ("bass (active), DI", "bass-active", "di-active"),
        ("bass (active DI)", "bass-passive", "di-active"),
        ("bass - DI, active", "bass-passive", "di-active"),
        ("bass, passive DI", "bass-passive", "di-passive"),
    ],
)
def test_active_is_said_of_the_instrument_or_of_the_box(line: str, item: str, box: str) -> None:
    channel = read_list(f"1 {line}\n2 vox Anna").channels[0]
    assert (channel.item, channel.box) == (item, box)


def test_an_active_bass_of_a_remark_is_told() -> None:
    bass = read_list(LARKS).channels[1]
    assert bass.item == "bass-active"
    told = {guess.about: guess.words for guess in bass.guesses}
    assert told["what"] == "has active bass, own amp"


def test_two_boxes_of_one_keyboard_are_two_boxes() -> None:
    read = read_list(LARKS)
    keys = read.channels[3]
    assert (keys.box, keys.is_pair, keys.count) == ("di-active", True, 2)
    assert not [guess for guess in keys.guesses if guess.about == "words"]
    added = [each.item.type for each in plan_list(read).edits if isinstance(each, AddItem)]
    assert added.count("keyboard-stereo") == 1
    assert added.count("di-active") == 3


def test_a_channel_without_phantom_power_gets_a_desk_that_switches_it_by_the_channel() -> None:
    (desk,) = (each for each in plan_list(read_list(LARKS)).guesses if each.about == "desk")
    assert desk.taken == "mixer-digital-16"
    assert "switches 48 V by the channel, since the list wants none on some" in desk.why
    plain = plan_list(read_list(LARKS.replace("NO!", "-")))
    assert plain.guesses[0].taken == "mixer-analogue-16"


def test_a_desk_with_one_switch_is_told_where_a_channel_shall_have_no_phantom_power() -> None:
    show = empty_show("Hall", "mixer-analogue-16", load_book())
    notes = plan_list(read_list(LARKS), show).notes
    assert any("'Ld Vox' shall have no 48 V, but Desk has one switch" in note for note in notes)


@pytest.mark.parametrize(
    ("line", "phantom"),
    [
        ("vox, condenser, 48V", True),
        ("vox, condenser (needs phantom)", True),
        ("sax, ribbon, NO phantom", False),
        ("Sax, Bändchen, kein Phantom", False),
        ("sax, ribbon, 48V off", False),
        ("Phantom of the attic, headset", None),
    ],
)
def test_phantom_power_is_read_in_a_line(line: str, *, phantom: bool | None) -> None:
    assert read_list(f"1 {line}\n2 vox Anna").channels[0].phantom is phantom


def test_a_kit_on_several_inputs_is_asked_about_piece_by_piece() -> None:
    """Which four microphones stand at the drums nobody can tell: never four of a kind unasked."""
    text = b"1-4 drums\n5 bass DI\n"
    read = read_list(text, name="band.txt")
    (question,) = read.questions
    assert question.key == "drums"
    assert question.ask.startswith("What is on which of the 4 inputs of 'drums'?")
    assert read.channels[0].open == ("drums",)
    usual = question.choices[0].answer
    answered = read_list(text, name="band.txt", answers={"drums": usual})
    assert [(each.numbers, each.thing) for each in answered.channels[:4]] == [
        ((1,), "kick"),
        ((2,), "snare"),
        ((3,), "overheads"),
        ((4,), "overheads"),
    ]
    alike = read_list(text, name="band.txt", answers={"drums": "overheads"})
    assert (alike.channels[0].count, alike.channels[0].thing) == (4, "overheads")
    with pytest.raises(ListError, match="2 pieces were told for 4 inputs"):
        read_list(text, name="band.txt", answers={"drums": "kick, snare"})


def test_a_kit_with_its_microphones_told_or_on_one_input_is_not_asked_about() -> None:
    assert not read_list(b"1-4 drums, condenser\n5 bass DI\n", name="band.txt").questions
    assert not read_list(b"1 drums\n2 bass DI\n", name="band.txt").questions
