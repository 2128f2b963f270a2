"""What each sheet says, on shows whose answers can be read off the file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

import pytest

from levelhead.errors import PaperError
from levelhead.exchange.paperwork.turns import turns_of
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.label_grid import GRIDS, LabelGrid, grid_for
from levelhead.exchange.sheets.cable_list import needed_cables, spares_for
from levelhead.exchange.sheets.pack import PLANS, check_for, paper_pack
from levelhead.gear.book import load_book
from levelhead.show.document import load_show
from tests.paper.shows import EXAMPLES, checked

Rows = list[Mapping[str, str]]


def rows(show: str, name: str) -> Rows:
    (sheet,) = paper_pack(checked(show), [name])
    return list(sheet.rows)


def ids(items: Iterable[object]) -> set[str]:
    return {item.id for item in items}  # type: ignore[attr-defined]


def test_every_socket_of_every_link_is_in_the_patch_or_at_its_other_end() -> None:
    """Counted by hand: 29 links of two ends; each is named once at each item with two plugs."""
    work = Paperwork(checked("church-band.yaml"))
    plugs = Counter(port.item.id for lead in work.leads for port in lead.ports)
    expected = Counter(
        str(lead.number) for lead in work.leads for port in lead.ports if plugs[port.item.id] > 1
    )
    assert Counter(row["lead"] for row in rows("church-band.yaml", "patch")) == expected
    assert len(work.leads) == 29


def test_the_patch_names_the_other_end() -> None:
    told = {(row["box"], row["socket"]): row["far"] for row in rows("church-band.yaml", "patch")}
    assert told["eq", "line output"] == "amp-pa, ch1, line"
    assert told["amp-pa", "ch1, line"] == "eq, line output"


def test_an_output_is_followed_to_who_hears_it() -> None:
    told = {(r["output"], r["heard"]): r for r in rows("church-band.yaml", "output-list")}
    main = told["main-left", "pa-left"]
    assert (main["through"], main["level"]) == ("eq > amp-pa, ch1", "−20")
    assert told["aux1", "wedge-2"]["through"] == "amp-wedges, ch1 > wedge-1"
    assert ("aux3", "desk, ch16, line") in told


def test_a_side_stays_a_side_through_a_subwoofer() -> None:
    """Its two ways to the tops do not cross, though both sides sum into its driver."""
    rows_of = [row for row in rows("wedding.yaml", "output-list") if "main" in row["output"]]
    heard = {(row["output"].partition(",")[0], row["heard"]) for row in rows_of}
    assert heard == {
        ("main-left", "Subwoofer"),
        ("main-left", "Left top"),
        ("main-right", "Subwoofer"),
        ("main-right", "Right top"),
    }


def test_a_keyboard_is_found_through_its_stereo_box() -> None:
    told = {row["input"]: row for row in rows("church-band.yaml", "input-list")}
    assert told["ch10, mic"]["through"] == "keys > di-keys"
    assert told["ch16, line"]["source"] == "reverb"


def test_cables_are_those_of_the_links() -> None:
    """Eleven leads of 20 m XLR stand in the file; two spares for 17 XLR cables and more are 3."""
    needed = needed_cables(Paperwork(checked("church-band.yaml")))
    told = {(each.plan.type_id, each.length_m): each for each in needed}
    assert told["cable-xlr", 20.0].count == 12
    assert told["cable-xlr", 20.0].spares == 0
    assert told["cable-xlr", 30.0].spares == spares_for(14) == 2
    assert sum(each.count for each in needed) == 29


def test_stock_serves_spares_that_it_reaches() -> None:
    """The hall: six XLR of 20 m, one of 1 m; 2 x 20 m and 3 x 10 m in the van."""
    told = {(r["cable"], r["length"]): r for r in rows("village-hall.yaml", "cable-list")}
    long, short = told["XLR cable", "20"], told["XLR cable", "1"]
    assert (long["count"], long["spare"], long["stock"], long["missing"]) == ("6", "1", "2", "")
    assert (short["spare"], short["stock"]) == ("", "3")
    assert told["Loudspeaker cable, 2 x 2.5 mm2", "15"]["missing"] == "1"


def test_a_show_without_cables_in_stock_calls_none_missing() -> None:
    (sheet,) = paper_pack(checked("church-band.yaml"), ["cable-list"])
    assert {row["missing"] for row in sheet.rows} == {"–"}
    assert "nothing is called missing" in (sheet.note or "")
    assert "one for every 8" in (sheet.note or "")


def test_everything_of_the_show_is_packed() -> None:
    work = Paperwork(checked("church-band.yaml"))
    packed = rows("church-band.yaml", "packing-list")
    named = {name for row in packed for name in row["which"].split(", ")}
    assert work.rig.items.keys() <= {name.partition(";")[0] for name in named}
    cables = [row for row in packed if row["kind"].startswith("Cables")]
    needed = needed_cables(work)
    assert sum(int(row["count"]) for row in cables) == sum(n.count + n.spares for n in needed)


def test_what_drives_loudspeakers_is_switched_last() -> None:
    turns = turns_of(Paperwork(checked("church-band.yaml")))
    assert ids(turns.drivers) == {"amp-pa", "amp-wedges", "balcony"}
    assert ids(turns.mixers) == {"desk"}
    assert ids(turns.behind) == {"eq", "delay", "reverb", "recorder"}
    assert {"keys", "preacher"} <= ids(turns.before)


def test_shut_down_turns_start_up_round() -> None:
    told = rows("church-band.yaml", "start-up")
    on = [row["do"] for row in told if row["part"] == "Start-up"]
    off = [row["do"] for row in told if row["part"] == "Shut-down"]
    at = {word: next(i for i, do in enumerate(on) if word in do) for word in ("amp-pa", "On: desk")}
    assert at["amp-pa"] > at["On: desk"]
    first = next(i for i, do in enumerate(off) if "amp-pa" in do)
    assert first < next(i for i, do in enumerate(off) if "desk" in do)
    assert any("Phantom 48 V on, channels still muted" in do for do in on)


def test_findings_come_with_their_cautions_and_worst_first() -> None:
    (sheet,) = paper_pack(checked("village-hall.yaml"), ["open-findings"])
    assert sheet.rows[0]["severity"] == "harm"
    assert any("Loudspeaker outputs" in words for words in sheet.cautions)


def test_a_supply_without_a_residual_current_device_is_asked_for() -> None:
    asked = [row["question"] for row in rows("duo-in-a-pub.yaml", "venue-questions")]
    assert any("residual-current" in question for question in asked)


def test_both_ends_of_a_lead_have_labels() -> None:
    told = [row for row in rows("duo-in-a-pub.yaml", "cable-labels") if row["number"] == "1"]
    assert [row["here"] for row in told] == ["Mia's microphone, output", "Desk, ch1, mic"]
    assert told[0]["there"] == "→ Desk, ch1, mic"


def test_an_unknown_sheet_and_an_unknown_grid_are_told_with_what_there_is() -> None:
    with pytest.raises(PaperError, match="no sheet 'patsch'; expected one of input-list"):
        paper_pack(checked("1"), ["patsch"])
    with pytest.raises(PaperError, match="no label grid 'letter-30' for a4 paper"):
        grid_for("a4", "letter-30")


def test_a_grid_beyond_its_page_is_refused() -> None:
    with pytest.raises(PaperError, match="labels that end at 214 mm"):
        LabelGrid("x", "a4", 3, 8, 70.0, 37.0, 4.0, 0.0, 70.0, 37.0)


def test_every_sheet_and_grid_stands_in_the_manual() -> None:
    from pathlib import Path

    page = (Path(__file__).parents[3] / "docs" / "paper.md").read_text(encoding="utf-8")
    assert all(f"`{name}`" in page for name in (*PLANS, *GRIDS))


def test_remedies_are_tried_only_for_sheets_that_tell_them() -> None:
    show = checked("village-hall.yaml").trial.show
    quick = check_for(["patch", "cable-list"], show, load_book())
    assert not any(each.remedies for each in quick.findings)
    (told,) = paper_pack(check_for(["open-findings"], show, load_book()), ["open-findings"])
    assert told.rows[0]["do"].endswith(": then fine.")


def test_plugs_are_counted_at_each_outlet() -> None:
    """Six things of the duo hang on its one outlet: keyboard, laptop, desk, three loudspeakers."""
    told = {row["what"]: row["count"] for row in rows("duo-in-a-pub.yaml", "packing-list")}
    assert told["behind the stage, circuit 1"] == "6"


def test_batteries_are_counted_by_what_the_shop_calls_them() -> None:
    """Guitar and bass take a block each, the preacher's pack two; and as many spares of each."""
    told = {
        row["what"]: (row["count"], row["which"])
        for row in rows("church-with-band.yaml", "packing-list")
    }
    assert told["Battery, 9 V block (6LR61)"] == ("4", "Guitar (1), Bass (1); as many spares")
    assert told["Battery, AA (LR6)"] == ("4", "Preacher's lavalier (2); as many spares")


def test_a_pack_that_is_charged_is_told_by_its_volts() -> None:
    told = {row["what"]: row["count"] for row in rows("conference.yaml", "packing-list")}
    assert told["Charged pack of 14 V"] == "2"
    assert told["Battery, AA (LR6)"] == "8"  # two wireless sets with two each, and as many spares


def test_a_strip_with_one_input_needs_no_more_than_its_name() -> None:
    told = {row["input"] for row in rows("church-with-band.yaml", "input-list")}
    assert {"ch1", "ch10"} <= told
    told = {row["input"] for row in rows("duo-in-a-pub.yaml", "input-list")}
    assert {"ch1, mic", "st1, left", "st1, right"} <= told


def test_findings_on_paper_name_no_address() -> None:
    """What a hand does is said with the words that stand on the gear."""
    show = load_show(EXAMPLES / "wedding.yaml").show
    (told,) = paper_pack(check_for(["open-findings"], show, load_book()), ["open-findings"])
    first = told.rows[0]
    assert first["do"] == (
        "Plug Subwoofer, high-passed output right into Amplifier, ch2, line with XLR cable, 2 m: "
        "then fine."
    )
    assert "." not in first["where"]


def test_what_stock_lacks_is_summed_above_the_cables() -> None:
    """Of the church: one three-pole jack, one two-pole, one adaptor lead, two XLR of 30 m."""
    (sheet,) = paper_pack(checked("church-with-band.yaml"), ["cable-list"])
    assert "5 spares, of which 5 are missing in stock" in (sheet.note or "")
    assert sum(int(row["missing"] or 0) for row in sheet.rows) == 5


def test_names_with_commas_are_parted_by_semicolons() -> None:
    told = {row["what"]: row["which"] for row in rows("outdoor-stage.yaml", "packing-list")}
    assert told["Passive wedge, 12 inch, 8 ohm"] == (
        "Wedge of the lead voice, left; Wedge of the lead voice, right; Wedge of the drums"
    )


def test_a_digital_mixer_is_shut_down_in_its_menu() -> None:
    for show, step in (
        ("conference.yaml", "Shut down in its menu, then off: Desk."),
        ("duo-in-a-pub.yaml", "Off: Desk."),
    ):
        assert ("Shut-down", step) in {(row["part"], row["do"]) for row in rows(show, "start-up")}
