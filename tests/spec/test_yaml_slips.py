"""What people mistype who have never heard of YAML is told with its line, what is wrong and what to do."""

from __future__ import annotations

import time

import pytest

from blockbook.errors import BlockbookError
from blockbook.spec.loading import parse_spec

BLOCK = """\
block:
  title: Spring block       # on every sheet
  start: 2027-01-04
  weeks: 2
  note: >
    Text: with a "colon, and a bracket [
lifter:
  name: Robin Sample
  body_weight: 70
  bests: {back squat: 120, bench press: {load: 80, reps: 3, rpe: 9}}
equipment:
  bar: 20
  plates: {25: 3, 20: 1, 10: 1, 5: 1,
           2.5: 1, 1.25: 1}
sessions:
  - name: Lower
    day: mon
    slots:
      - exercise: back squat
        reps: 5
        rpe: [7, 8]
  - name: Upper
    slots:
      - exercise: bench press
        sets: 3
        reps: 5
        percent: 75
        cue: "Legs: drive"
"""


def message_for(text: str) -> str:
    with pytest.raises(BlockbookError) as caught:
        parse_spec(text, "block.yaml")
    return str(caught.value)


def test_the_block_that_slips_are_made_in_is_right() -> None:
    assert parse_spec(BLOCK).sessions[1].slots[0].cue == "Legs: drive"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("  weeks: 2", "\tweeks: 2", "line 4: a tab stands at the beginning. Indent with spaces, as the lines around."),
        ("    day: mon", "  \t day: mon", "line 17: a tab stands at the beginning."),
        ("weeks: 2", "weeks:2", 'line 4: a space is missing behind the colon: "weeks: 2".'),
        ("rpe: [7, 8]", "rpe:[7, 8]", 'line 21: a space is missing behind the colon: "rpe: [7, 8]".'),
        ("{load: 80,", "{load:80,",
         'line 10: lifter.bests.bench press.load:80: a space is missing behind the colon: "load: 80".'),
        ("weeks: 2", "weeks 2", 'line 4: a colon is missing behind the field\'s name: "weeks: 2".'),
        ("weeks: 2", "weeks = 2", 'line 4: a colon is missing behind the field\'s name: "weeks: 2".'),
        ("lifter:", "lifter", 'line 7: a colon is missing behind the field\'s name: "lifter:".'),
        ("weeks: 2", "weeks：2", "line 4: the colon is not the plain one."),
        ("  weeks: 2", "\u00a0\u00a0weeks: 2", "line 4: a blank here is no plain space"),
        ("weeks: 2", "weeks:\u00a02", "line 4: a blank here is no plain space"),
        ("- exercise: back", "-exercise: back", 'line 19: a space is missing behind the hyphen: "- exercise: back squ'),
        ("- exercise: back", "– exercise: back", 'line 19: an entry of a list begins with a plain hyphen and a space'),
        ("- exercise: back", "• exercise: back", '"- ", not "• ".'),
        ("title: Spring block ", 'title: "Spring block ', 'line 2: a quote (") is opened here and not closed.'),
        ("title: Spring block ", "title: 'Spring block ", "line 2: a quote (') is opened here and not closed."),
        ("title: Spring block ", 'title: "a "b" c" ', "line 2: text stands behind a closing quote."),
        ("title: Spring block ", "title: Spring: block ",
         'line 2: there are two colons. Put text that holds one in quotes: "Spring: block".'),
        ("title: Spring block ", "title: “Spring: block” ", "line 2: text with a colon has to stand in plain quotes"),
        ("title: Spring block ", "title: @home ", 'line 2: text that begins with @ has to stand in quotes: "@home".'),
        ("title: Spring block ", "title: #1 ", "line 2: block.title: should be text; nothing is written here. A # beg"),
        ("title: Spring block ", "title: !now ", "line 2: tags (!) are not used here. Write the plain value;"),
        ("title: Spring block ", "title: '' ", "line 2: block.title: should not be empty (it says \"\")."),
        ("weeks: 2", "weeks: “2”", "line 4: block.weeks: should be a whole number, without quotes: curled ones"),
        ("2.5: 1, 1.25: 1}", "2.5: 1, 1.25: 1", "line 13: a { is opened here and not closed: a } is missing."),
        ("rpe: [7, 8]", "rpe: [7, 8]]", "line 21: there is a ] too many, or a [ is missing before it."),
        ("rpe: [7, 8]", "rpe: [7, 8", "line 21: a [ is opened here and not closed: a ] is missing."),
        ("load: 80, reps", "load: 80 reps", "line 10: a comma is missing between two fields, before reps."),
        ("bests: {back squat: 120, bench press: {load: 80, reps: 3, rpe: 9}}", "bests: (back squat: 120)",
         "line 10: fields on one line stand in { and }, not in ( and )."),
        ("bests: {back squat: 120, bench press: {load: 80, reps: 3, rpe: 9}}", "bests: [120]",
         "line 10: lifter.bests: should hold fields, each on a line of its own as name: value."),
        ("weeks: 2", "weeks: 2\n  weeks: 3", 'line 5: "weeks" stands here twice. Keep one.'),
        ("        rpe:", "        RPE:", 'line 21: sessions[1].slots[1].RPE: is not a field here; names are'),
        ("        sets:", "        Sets:", 'Sets: is not a field here; names are in small letters: "sets:".'),
        ("body_weight", "bodyweight", "line 9: lifter.bodyweight: is not a field here; check"),
        ("  weeks: 2", "   weeks: 2", "line 4: this line is indented below line 3, which has a value of its own."),
        ("  weeks: 2", " weeks: 2", "line 4: this line begins 1 space deep, and line 3 above it 2 spaces."),
        ("        reps: 5\n        rpe", "      reps: 5\n        rpe", "line 20: line 19 begins an entry of a list"),
        ("  - name: Lower\n", "    name: Lower\n", "line 16: a list begins here, as line 22 shows, and its first"),
        ("  name: Robin", "  - name: Robin", "line 9: line 8 begins an entry of a list with a hyphen; this line is as"),
        ("lifter:", "---\nlifter:", "line 7: three hyphens begin another document, and a file is one."),
    ],
)  # fmt: skip
def test_a_slip_is_told_plainly(old: str, new: str, said: str) -> None:
    assert old in BLOCK
    first, *further = message_for(BLOCK.replace(old, new, 1)).splitlines()
    assert f"block.yaml: {said}" in first or said in first
    assert not further
    assert not any(word in first for word in ("token", "mapping", "expected", "scalar", "indicator", "violates"))


LIST = """\
sessions:
  - name: Lower
    slots:
      - exercise: back squat
        reps: 5
      - exercise: leg press
        reps: 8
  - name: Upper
    slots:
      - exercise: bench press
        reps: 5
"""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("      - exercise: leg", "       - exercise: leg",
         "line 6: the hyphen here stands 1 space too deep: that of line 4 has 6 spaces before it. The entries of one "
         "list begin at the same depth."),
        ("      - exercise: leg", "        - exercise: leg", "line 6: the hyphen here stands 2 spaces too deep: that "),
        ("      - exercise: leg", "     - exercise: leg",
         "line 6: the hyphen here stands 1 space too near the edge: that of line 4 has 6 spaces before it."),
        ("      - exercise: leg", "    - exercise: leg", "line 6: the hyphen here stands 2 spaces too near the edge: "),
        ("  - name: Upper", "   - name: Upper", "line 8: the hyphen here stands 1 space too deep: that of line 2 has"),
        ("  - name: Upper", " - name: Upper", "line 8: the hyphen here stands 1 space too near the edge: that of lin"),
        ("      - exercise: back", "        exercise: back",
         'line 4: a list begins here, as line 6 shows, and its first entry has no hyphen. Write "- " before it.'),
        ("reps: 8", "cue: - brace",
         'line 7: a hyphen stands behind the colon. Put text that begins with one in quotes, "- brace"; a list begins '
         "on the line below."),
    ],
)  # fmt: skip
def test_an_entry_that_stands_at_another_depth_is_told(old: str, new: str, said: str) -> None:
    assert said in message_for(LIST.replace(old, new, 1))


def test_a_list_that_stands_as_deep_as_its_field_lacks_its_first_hyphen() -> None:
    text = "sessions:\n  name: Lower\n  slots:\n  - exercise: squat\n    reps: 5\n- name: Upper\n"
    assert "line 2: a list begins here, as line 6 shows, and its first entry has no hyphen." in message_for(text)


TWO_COLONS = "there are two colons. Put text that holds one in quotes: "
BEHIND_QUOTES = "text stands behind a closing quote. Put all of it in one pair of quotes: "


@pytest.mark.parametrize(
    ("cue", "said"),
    [
        ("Don't rush: 'slow' is fine", f"{TWO_COLONS}\"Don't rush: 'slow' is fine\"."),
        ('Say "up": then go', f"{TWO_COLONS}'Say \"up\": then go'."),
        ('It\'s "up": go', f"{TWO_COLONS}'It''s \"up\": go'."),
        ('"Legs" drive   # hard', f"{BEHIND_QUOTES}'\"Legs\" drive'."),
        ('"a "b" c"', f"{BEHIND_QUOTES}'a \"b\" c'."),
        ('@"home" now', "text that begins with @ has to stand in quotes: '@\"home\" now'."),
    ],
)
def test_a_text_is_shown_with_what_stands_in_quotes_in_it(cue: str, said: str) -> None:
    assert message_for(LIST.replace("reps: 8", f"cue: {cue}")).endswith(f"line 7: {said}")


@pytest.mark.parametrize(
    "cue",
    [
        '"Brace: before you go\n          down, and [stay"',
        "'Brace: before you go\n          down, and don''t [stay'   # a comment",
        "brace\n          hard",
        "brace\n          every rep of it",
        '{a: "Brace\n          hard", b: brace\n          hard}',
        '"Brace\n\n\n          hard"',
    ],
)
def test_text_over_several_lines_is_no_slip(cue: str) -> None:
    text = LIST.replace("reps: 5\n", f"cue: {cue}\n", 1)
    after = text.count("\n") + 1
    assert f"line {after}: a [ is opened here and not closed" in message_for(f"{text}block: [1\n")
    assert f"line {after}: a colon is missing" in message_for(f"{text}block 5\nlifter: 1\n")
    below = text.replace("reps: 8", "reps 8")
    place = below.splitlines().index("        reps 8") + 1
    assert f"line {place}: a colon is missing" in message_for(below)
    beside = text.replace("      - exercise: leg press", "        reps 8\n      - exercise: leg press")
    place = beside.splitlines().index("        reps 8") + 1
    assert f"line {place}: a colon is missing" in message_for(beside)


def test_a_quote_that_takes_in_what_follows_up_to_another_is_told() -> None:
    text = LIST.replace("back squat", '"back squat').replace("reps: 8", 'cue: "Brace: hard"')
    assert 'line 4: a quote (") is opened here and not closed.' in message_for(text)


def test_a_field_that_is_misspelt_is_not_missed_as_well() -> None:
    (said,) = message_for(BLOCK.replace("block:", "Block:")).splitlines()
    assert said == 'block.yaml: line 1: Block: is not a field here; names are in small letters: "block:".'


def test_a_slip_is_looked_for_in_no_time() -> None:
    begun = time.perf_counter()
    assert "block.yaml: line 1" in message_for("block: " + r"\"" * 50_000 + "\n")
    message_for("\n".join(["block: ["] + ["{a: b, "] * 2_000))
    assert time.perf_counter() - begun < 5
