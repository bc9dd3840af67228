"""Which notes speak of pain, and which of something that needs a physician: one list for the sheet and for `read`.

Notes are looked at in steps, each a cell of its own, since a spreadsheet nests no more than 64 functions:
`notes_together` writes them plainly, every joint as " joint "; `alike` writes one form for many ("cant", "couldn't");
`bare` leaves out words that say nothing here; `turned` puts right what only sounds like a "no" ("not pain free");
`cues_apart` ties up praise and cues; `denied` ties a "no" to the word that it takes back (" no_pain ") and
`taken_back` lets it reach over an "or". So `heard` need only ask whether one of the words of pain stands there, and
`alarm_heard` the same of alarm, once a session, after `alarm_words` has tied up what is ordinary after a hard set.
English, German and Spanish, and the commonest words of other languages, whatever the sheet speaks: people note in their
own. All from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    LINE_BREAK,
    Expression,
    at,
    differs,
    if_,
    is_text,
    join,
    lower,
    or_,
    same,
    substituted,
    trimmed,
)

GET_HELP = "Chest pain, dizziness, fainting, numbness or the like: stop and get medical help at once."

PAIN = (
    " pain ", " pains ", " painful", " pained ", " sharp ", " pinch", " tweak", " hurt", " ache ", " aches ", " ached ",
    " aching", " achy ", " achey ", " backache", " twinge", " stab ", " stabb", " strain ", " strains ", " strained ",
    " sprain", " injury ", " injuries ", " injured ", " tingling ", " tingles ", " tingly ", " swollen", " swelled",
    " swelling ", " popped", " popping", " pop ", " click", " ouch", " ow ", " niggl", " discomfort ", " bother",
    " torn ", " tore ", " tear ", " heard snap", " heard rip ", " heard crack", " heard crunch", " something snapped",
    " something cracked", " pec ripped", " pulled muscle", " pulled something", " pulled hamstring", " pulled hammy",
    " pulled groin", " pulled calf", " pulled quad", " pulled pec ", " pulled lat ", " pulled bicep", " pulled tricep",
    " pulled adductor", " pulled trap ", " pulled glute", " pulled joint", " pulled back ,", " pulled , ",
    " pulled out ", " spasm", " backpain", " cramp ", " cramps ", " cramping", " cramped up", " cramped , ",
    " flared up", " flaring up", " something go ", " something went ", " something gave", " joint sore",
    " sore joint", " joint tender", " tender joint", " joint unstable", " joint gave", " joint burn", " burning joint",
    " joint irritated", " joint cranky", " cranky joint", " joint twisted", " twisted joint", " twisted back",
    " rolled joint", " joint rolled", " joint buckled", " joint stuck , ", " joint stuck up ", " joint playing up",
    " joint acting up", " joint throb", " joint sting", " stinging joint", " joint catching", " joint grinding",
    " joint crunch", " crunching joint", " joint not_happy", " joint unhappy", " joint angry", " angry joint",
    " joint flexor sore", " sore , joint", " back sore", " sore back", " back tight and sore", " back gave",
    " hamstring went", " hammy went", " quad went", " calf went", " groin went", " pec went", " back went , ",
    " back went last ", " back went rep ", " back went set ", " back seized", " back locked", " put back out",
    " threw back out", " threw out back", " jarred back", " tendonitis", " tendinit", " joint puffy", " impinge",
    " trapped nerve",
    " slipped disc", " hernia", " bruised", " dislocat", " sublux", " lumbago", " sciatic",
    " schmerz ", " schmerzen ", " schmerzt ", " schmerzte ", " schmerzhaft", " weh ", " wehgetan", " wehtut ",
    " zwickt ", " zwickte ", " zickt", " zwicken", " gezwickt", " stich ", " stiche ", " sticht ", " stechen",
    " gezerrt", " zerrung",
    " verletzt", " verletzung ", " knackt ", " knacken ", " geknackt", " kribbeln ", " kribbelt", " geschwollen",
    " beschwerden ", " autsch", " aua ", " ein ziehen", " leichtes ziehen", " starkes ziehen", " joint zieht ",
    " zieht joint", " ziehen joint", " leiste zieht ", " zieht leiste", " ziehen leiste", " joint gereizt",
    " gereiztes joint", " gereizte joint", " hexenschuss", " verhoben ", " verrenkt", " umgeknickt", " verknackst",
    " joint verdreht", " überdehnt", " muskelfaserriss", " sehne gerissen", " muskel gerissen", " entzünd",
    " bandscheibe", " ischias", " eingeklemmt", " joint brennt", " brennt joint", " joint drückt ",
    " joint blockiert", " joint meldet", " joint macht probleme", " probleme mit joint", " krampf ", " krämpfe ",
    " wadenkrampf",
    " dolor ", " dolores ", " dolorid", " dolorcit", " duele", " dolia", " dolio", " dolido ", " doliendo ", " agud",
    " molestia ",
    " molestias ", " molesta ", " molestan ", " molestaba", " molesto ", " tiron ", " lesion", " punzad", " pinchazo",
    " crujid", " crujio", " chasquid", " hormigueo ", " hormiguea", " hinchad", " inflamad", " inflamacion",
    " calambre",
    " esguince", " torci ", " torcio ", " torcid", " torcedura", " contractura", " rotura", " ciatica",
    " lumbalgia", " pinzamiento", " quemazon", " ardor joint", " quemaba joint", " joint resentid", " joint cargad",
    " joint tocad", " joint jodid",
    " douleur", " fait mal", " mal au ", " mal aux ", " mal dans ", " blesse", " elancement", " fa male", " fitta ",
    " dor ", " dores ", " doi ", " doeu ", " fisgad", " pijn", " steek ", " smärta", " ont i ", " bol ", " boli ",
)  # fmt: skip
"""As `taken_back` leaves them: " hurt" begins a word, " pain " is one. Sore muscles are no pain, sore joints are."""

OF_THE_HEART = (
    " chest pain ", " chest pains ", " chest hurt", " chest ache", " chest aching", " chest tight ",
    " chest tightness ", " chest pressure",
    " chest burn", " chest discomfort ", " chest squeez", " chest stab", " chest crush", " chest heavy , ",
    " chest heavy and ", " burning chest", " heaviness chest", " pain chest", " pains chest", " tight chest",
    " tightness chest", " pressure chest", " discomfort chest", " squeezing chest", " crushing chest",
    " stabbing chest", " hurts chest", " hurt chest", " ache chest", " aches chest", " pain left chest",
    " pain left side chest", " left arm pain", " left arm hurt", " left arm ach", " left arm tingl", " pain left arm",
    " ache left arm", " tingling left arm", " jaw pain", " pain jaw", " can't_breath ", " palpitation",
    " heart racing", " heart raced",
    " racing heart", " heart skip", " heart pounding", " pounding heart", " heart flutter", " heart pain",
    " heart hurt", " heart beating weird", " irregular heart", " heartbeat irregular", " shortness breath",
    " short breath ", " can't_breathe", " not_breathe", " can't_catch breath",
    " trouble breathing", " difficulty breathing", " hard to breathe", " struggled to breathe",
    " herzrasen", " herz rast", " herz gerast", " herzstolper", " herz stolper", " herzstechen", " herz schmerz",
    " stechen herz", " luftnot", " atemnot", " keine_luft bekommen", " keine_luft gekriegt", " bekam keine_luft",
    " bekomme keine_luft", " kriege keine_luft", " kriegte keine_luft", " kaum luft", " schwer luft", " brustenge",
    " brust schmerz ", " brust schmerzen", " brust schmerzt ", " schmerz brust", " schmerzen brust", " druck brust",
    " druckgefühl brust", " enge brust", " engegefühl", " brust weh", " stich brust", " stiche brust",
    " stechen brust", " brust eng ", " brust zieht ", " ziehen brust", " brust brennt ", " brennen brust",
    " linker arm schmerz", " schmerz linken arm", " schmerzen linken arm", " linken arm schmerz", " linker arm weh",
    " linker arm kribbelt", " kribbeln linken arm",
    " palpitacion", " taquicardia", " corazon acelerado", " falta aire", " faltaba aire", " no_podia respirar",
    " no_puedo respirar", " costaba respirar", " cuesta respirar", " ahogaba ", " dolor pecho", " duele pecho",
    " duele_pecho", " dolia pecho", " dolio pecho", " pecho duele", " pecho dolia", " presion pecho", " opresion",
    " pecho oprimid", " pecho apretad", " ardor pecho", " pinchazo pecho", " punzada pecho", " punzadas pecho",
    " dolor brazo izquierdo", " duele brazo izquierdo", " brazo izquierdo duele", " hormigueo brazo izquierdo",
)  # fmt: skip
"""Of heart and breath. "chest up" is a cue, so a chest alone is none, save where it hurts."""

OF_THE_SENSES = (
    " faint ", " faints ", " fainted", " fainting", " faintness", " dizzy ", " dizziness ", " dizy ", " dizzyness ",
    " woozy",
    " giddy ", " vertigo ", " lightheaded", " light headed", " blackout", " black out ", " blacked out ",
    " went black ",
    " greyed out", " grayed out", " black spots", " saw black", " blurr", " double vision", " seeing double",
    " tunnel vision", " vision went", " vision black", " lost vision", " passed out", " passing out", " pass out ",
    " lost consciousness", " unconscious", " room spinning", " room spun", " head spinning", " everything spinning",
    " i collapsed", " nearly collapsed", " almost collapsed", " , collapsed , ", "| collapsed , ",
    " , collapsed after", "| collapsed after", " then collapsed , ", " and collapsed , ", " collapsed floor",
    " sudden headache", " sudden bad headache", " worst headache", " severe headache", " thunderclap",
    " splitting headache", " exploding headache", " headache came suddenly", " numb ",
    " numbness ", " pins and needles", " pins needles", " pins & needles", " pins or needles", " tingling both legs",
    " saw stars", " seeing stars", " can't_feel", " don't_feel_foot", " don't_feel_hand", " don't_feel_fingers",
    " can't_move foot", " woke up floor", " lost bladder",
    " lost control bladder", " slurred speech",
    " schwindel ", " schwindelgefühl ", " schwindlig", " schwindelig", " ohnmacht", " ohnmächtig",
    " schwarz vor augen", " wurde schwarz",
    " schwarz geworden", " alles schwarz", " taub ", " taubheit ", " taubheitsgefühl ", " taubes ", " taube ",
    " arm eingeschlafen", " hand eingeschlafen", " bein eingeschlafen", " kein_gefühl", " bewusstlos",
    " weggetreten", " zusammengebrochen", " kollabiert", " bin umgekippt", " fast umgekippt", " , umgekippt , ",
    "| umgekippt , ", " plötzlich kopf schmerz", " heftige kopf schmerz", " plötzliche kopf schmerz",
    " verschwommen gesehen",
    " doppelt gesehen",
    " mareo ", " mareos ", " maread", " maree ", " mareaba", " mareando", " desmay", " desvanec", " todo negro",
    " vi negro", " nublo vista", " vista nublada", " vision borrosa", " veia borroso", " perdi conocimiento",
    " perdi conciencia", " entumec", " adormecid", " mano dormida", " brazo dormido", " durmio brazo",
    " durmio mano", " dolor cabeza repentino", " dolor cabeza fuerte", " pierna dormida",
    " no_siento mano", " no_sentia mano", " no_siento pie", " no_siento pierna", " sin_sensibilidad",
)  # fmt: skip
"""Of head and nerves. Knees and a chest collapse in a lift, too, and a bar tips over."""

ALARM = (*OF_THE_HEART, *OF_THE_SENSES)
"""What the sheet answers with `GET_HELP`, as `alarm_words` leaves it."""

WHERE_IT_HURTS = (" chest", " brust", " pecho", " heart ", " herz ", " corazon")
"""What is alarming as the answer to where it hurts."""

EDGES = ("| ", " |")
"""What a text is put between, so that its first and last word have a blank at both sides: some programs store a text
without the blanks at its ends."""

_APART = (",", ".", ";", ":", "!", "?", "(", ")")
_BLANKS = ("-", LINE_BREAK)
_PLAIN = {"’": "'", "á": "a", "é": "e", "í": "i", "ó": "o", "ú": "u"}
_JOINTS = (
    "knee", "knees", "hip", "shoulder", "elbow", "elbows", "wrist", "wrists", "ankle", "neck", "achilles",
    "knie", "hüfte", "schulter", "ellbogen", "ellenbogen", "handgelenk", "sprunggelenk", "nacken", "rücken", "kreuz",
    "rodilla", "cadera", "hombro", "codo", "muñeca", "tobillo", "cuello", "espalda",
)  # fmt: skip
"""What is sore for another reason than a muscle; "back" is apart, since it is a way, too."""

JOINT = "joint"

_ALIKE = {
    " cant ": " can't ", " cannot ": " can't ", " can not ": " can't ", " couldn't ": " can't ",
    " couldnt ": " can't ", " could not ": " can't ", " not able to ": " can't ", " unable to ": " can't ",
    " dont ": " don't ", " doesnt ": " don't ", " didnt ": " didn't ", " wasnt ": " wasn't ", " isnt ": " isn't ",
    "n't have ": "n't ", "n't had ": "n't ", " no longer ": " no ", " w or o ": " without ", " keinerlei ": " keine ",
    " no tengo ": " no ", " no tuve ": " no ", " no siento dolor ": " no dolor ", " weder ": " kein ",
    " schmerz noch ": " schmerz or ", " schmerzen noch ": " schmerzen or ", " nor ": " or ", " oder ": " or ",
    " ni ": " or ", " o ": " or ", " u ": " or ", " no feeling in ": " can't feel ",
    " lost feeling in ": " can't feel ", " lost all feeling in ": " can't feel ",
    " felt a snap": " heard snap", " felt a rip": " heard rip",
    " felt a crack": " heard crack", " felt a crunch": " heard crunch", " etwas gerissen": " muskelfaserriss",
    " was gerissen": " muskelfaserriss", " low back ": " back ", " sternum ": " chest ", " breastbone ": " chest ",
    "| felt sharp , |": "| |", "| felt sharp , , |": "| |",
    " ist ": " ", " war ": " ", " hat ": " ", " die ": " ", " tat ": " ", " mir ": " ",
}  # fmt: skip
"""What is written in many ways, and the one that is asked for."""

_SIDES = ("left", "right", "linkes", "rechtes", "linke", "rechte", "linker", "rechter", "linken", "rechten")

_SAY_NOTHING = (
    "a", "the", "my", "in", "on", "of", "is", "was", "felt", "feels", "feeling", "any", "more", "really", "very",
    "bit", "little", "slightly", "still", "get", "getting", "got", "some", "sign", "signs",
    "tut", "sehr", "mehr", "im", "der", "den", "auf", "am", "etwas", "leicht", "noch",
    "el", "la", "en", "me", "de", "hay", "un",
)  # fmt: skip
"""Words between a "no" and what it takes back, or between a chest and what is wrong with it."""

_TURNED = {
    " not pain free": " pain", " no pain free": " pain", " never pain free": " pain",
    " not yet pain free": " pain", " not quite pain free": " pain", " not completely pain free": " pain",
    " not entirely pain free": " pain", " nicht schmerzfrei": " schmerz", " nicht ganz schmerzfrei": " schmerz",
    " never without ": " with ", " not without ": " with ", " nicht ohne ": " mit ", " nunca sin ": " con ",
    " free until ": " until ", " free till ": " until ", " gone until ": " until ", " gone till ": " until ",
    " no pain until ": " pain until ", " no joint pain until ": " joint pain until ",
    " no back pain until ": " back pain until ", " schmerzfrei bis ": " schmerz bis ",
    " keine schmerzen bis ": " schmerzen bis ", " sin dolor hasta ": " dolor hasta ",
    " gone , came back": " came back", " gone , back ": " back ", " gone then ": " then ",
    " gone but came back": " came back", " gone and came back": " came back", " gone at first": " at first",
    " went away then ": " then ", " went away but ": " but ", " went away , came back": " came back",
    " went away and came back": " came back", " weg , kam wieder": " kam wieder",
    " weg , dann wieder ": " dann wieder ", " chest pain gone after ": " chest pain after ",
    " chest pain went away ": " chest pain ",
}  # fmt: skip
"""What sounds like a pain taken back, and is none: it was there, or came back."""

_OVER = (
    " : none ", " : no , ", " : nein , ", " : keine ", " : kein ", " : nada ", " : ninguno ", " : ninguna ",
    " : 0 , ", " ? none ", " ? keine ", " 0 or 10 ", " free ", " gone ", " went away ", " frei ", " weg ", " nicht , ",
)  # fmt: skip
"""What stands behind a pain that is none any more."""

_TAKE_BACK = (
    " no ", " not ", " without ", " never ", " nothing ", "n't ", " kein ", " keine ", " keinen ", " ohne ", " nicht ",
    " nichts ", " sin ", " nada ", " ningun ", " ninguna ", " sans ", " senza ", " sem ",
)  # fmt: skip
_CUES = (
    "good pop", "lots pop", "pop off", "pop out hole", "popped off", "popped up", "bar popped", "technique click",
    "everything click", "cues clicked", "finally clicked", "it clicked today", "sharp today", "sharp and fast",
    "sharp technique", "technique sharp", "speed sharp", "looked sharp", "sharp every rep", "blades pulled back",
    "shoulders pulled back", "joint pulled back", "pulled out belt", "pinch joint blades", "pinched joint blades",
    "pinch scapula", "belt pinch", "collar pinch", "tore callus", "tore open callus", "torn callus", "hands torn",
    "strained last rep", "painful to watch", "bothered by", "took stab", "can't feel pain", "verletzungsfrei",
    "beim ziehen", "starkes ziehen boden", "joint zieht nicht mit", "hantel knackt", "knacken scheiben",
    "primer tiron", "segundo tiron", "tiron fuerte suelo", "tiron fuerte desde",
)  # fmt: skip
"""Praise, cues and mishaps that have a word of pain in them."""

_NO_CHEST = ("chest muscle", "brustwirbel", "brustmuskel")
"""Muscles, and a part of the back."""

_ORDINARY = (
    "tight chest up", "keep chest tight", "kept chest tight", "chest tight and up",
    "chest up and tight", "tight chest big breath", "tight chest , big breath", "tight back , tight chest",
    "brust eng halten", "enge brust halten", "pecho apretado y arriba",
    "mantener pecho apretado", "took short breath", "take short breath", "short breath after set",
    "heart racing after set", "heart pounding after set", "herz rast nach satz", "can't_feel_it",
    "can't_feel_lats", "can't_feel_lat ", "can't_feel_glutes", "can't_feel_quads", "can't_feel_pecs",
    "can't_feel_hamstrings", "can't_feel_muscle", "pump , can't_feel_legs", "numb from cold", "numb hands from cold",
    "numb fingers from cold", "cold , fingers numb", "cold , hands numb", "cold numb ", *_NO_CHEST,
)  # fmt: skip
"""What has a word of alarm in it, and is a cue, the cold, or ordinary after a hard set."""

_AFTER_A_SET = {" after hard set ": " after set ", " after last set ": " after set "} | {
    f" {after} {reps} {unit} ": f" {after} {one} "
    for after, unit, one in (("after", "reps", "set"), ("nach", "wdh", "satz"))
    for reps in (8, 10, 12, 15, 20)
}
"""After so many reps anyone is short of breath. Common practice, no source."""

_WAYS = ("middle", "across", "behind", "down", "into", "radiating to", "radiating")
"""Words between a pain and the chest or arm that it is in."""

_WELL = ("fine", "ok", "okay", "good", "clear")
"""What a chest is said to be where it does not hurt."""

_TAKEN_ALONG = (
    "_ningun ", "_ninguna ", "_chest ", "_sharp ", "_brust ", "_pecho ", "_joint ", "_back ", "_feel ", "_free ",
    "_hamstring ", "_quad ", "_groin ", "_or ",
)  # fmt: skip
"""What passes a "no" on to the word behind it."""

_LISTED = (
    "pain", "pains", "ache", "aches", "schmerz", "schmerzen", "dolor", "molestia", "molestias", "discomfort",
    "dizziness", "dizzy", "schwindel", "mareo", "mareos", "numbness", "numb", "taubheit", "hormigueo", "tingling",
    "kribbeln", "swelling", "sore", "soreness", "injury",
)  # fmt: skip
"""What a "no" passes over to what stands behind its "or": "no pain or numbness"."""

_LISTS = (
    "_pain , dizziness or ", "_pain , dizziness , or ", "_pain , numbness or ", "_pain , numbness , or ",
    "_schmerzen , schwindel or ", "_aches and pains ", "_numbness and tingling ", "_pain and discomfort ",
)  # fmt: skip
"""Lists that a "no" takes back as a whole. Any other "and" may begin what is there: "no pain and numb fingers"."""


def _plainly(text: Expression) -> Expression:
    """In small letters, without accents, clauses apart, joints by one name: "| no warm up , my joint hurt ! |"."""
    plain: Expression = lower(text)
    for sign in _APART:
        plain = substituted(plain, sign, f" {sign} ")
    for blank in _BLANKS:
        plain = substituted(plain, blank, " ")
    for sign, meant in _PLAIN.items():
        plain = substituted(plain, sign, meant)
    plain = substituted(substituted(plain, " / ", " , "), "/", " or ")
    plain = join(EDGES[0], trimmed(substituted(plain, "schmerz", " schmerz")), EDGES[1])  # "Knieschmerz"
    plain = substituted(plain, " knee locked ", " knee stuck ")  # knees that are locked are at the top of a lift
    for part in _JOINTS:
        plain = substituted(plain, f" {part} ", f" {JOINT} ")
    return plain


def _written(text: Expression, forms: Mapping[str, str]) -> Expression:
    for form, meant in forms.items():
        text = substituted(text, form, meant)
    return text


def _tied(text: Expression, phrases: Sequence[str]) -> Expression:
    """Phrases that stand by themselves no more: " _good_pop"."""
    return _written(text, {f" {phrase}": f" _{phrase.replace(' ', '_')}" for phrase in phrases})


@definition
def alike(plain: Expression) -> Expression:
    """A plain text with one form for what is written in many ways: "can't" for "couldnt", "or" for "oder"."""
    return _written(plain, _ALIKE)


@definition
def bare(alike: Expression) -> Expression:
    """A text without words that say nothing here, such as a joint's side: "| no warm up , joint hurt ! |"."""
    text = alike
    for side in _SIDES:
        text = substituted(text, f" {side} {JOINT} ", f" {JOINT} ")
    text = substituted(substituted(text, " lower back ", " back "), " upper back ", " upperback ")
    for word in _SAY_NOTHING:
        text = substituted(text, f" {word} ", " ")
    return text


def _notes_together(notes: Expression, sets: int) -> Expression:
    """The notes of an exercise's sets, plainly; "" where there are none. What is no text, such as a slip that a
    program took for a formula, is passed over. Two commas stand between them, as within none: "no pain" of one set
    says nothing of "numbness or tingling" in the next."""
    texts = [at(notes, number) for number in range(1, sets + 1)]
    written = join(*(if_(is_text(text), join(text, " , , "), BLANK) for text in texts), BLANK)
    return if_(or_(*(is_text(text) for text in texts)), _plainly(written), BLANK)


@cache
def notes_together(sets: int) -> Definition:
    """`_notes_together` for an exercise of so many sets."""
    return Definition(_notes_together, sets=sets)


@definition
def typed_together(pain: Expression, where: Expression) -> Expression:
    """The answers to what hurts and where, plainly; "" where there are none."""
    return if_(same(trimmed(join(pain, where)), ""), BLANK, _plainly(join(pain, " , ", where)))


@definition
def turned(bare: Expression) -> Expression:
    """A bare text in which what only sounds like a pain taken back says that it was there."""
    return _written(bare, _TURNED)


@definition
def cues_apart(turned: Expression) -> Expression:
    """A text in which a word of pain in a cue stands by itself no more: " _good_pop "."""
    return _tied(turned, _CUES)


@definition
def denied(cues_apart: Expression) -> Expression:
    """A text in which a word that is taken back stands by itself no more: " no_pain ", " pain_gone "."""
    tied = cues_apart
    for word in _OVER:
        tied = substituted(tied, word, f"_{word[1:]}")
    for word in _TAKE_BACK:
        tied = substituted(tied, word, f"{word[:-1]}_")
    for word in _TAKEN_ALONG:
        tied = substituted(tied, word, f"{word[:-1]}_")
    return tied


@definition
def taken_back(denied: Expression) -> Expression:
    """A text in which a "no" reaches over an "or" as well: " no_pain_or_numbness "."""
    tied = denied
    for words in _LISTS:
        tied = substituted(tied, words, f"{words[:-1].replace(' ', '_')}_")
    for again in (*_LISTED, "pain"):
        tied = substituted(tied, f"_{again} or ", f"_{again}_or_")
    for part in ("chest", "brust", "pecho", JOINT, "back"):
        tied = substituted(tied, f"_or_{part} ", f"_or_{part}_")
    return tied


STEPS = (alike, bare, turned, cues_apart, denied, taken_back)
"""From a plain text to words that `heard` can be asked of, one after the other."""


NOTHING, OF_PAIN = 0, 1
"""What an exercise's notes speak of, beside what asks for a physician."""


_MOST_NESTED = 50


def _stands_in(text: Expression, words: tuple[str, ...]) -> Expression:
    """Whether one of the words stands in a text: then it is another one without them."""
    without: list[Expression] = []
    for place, word in enumerate(words):
        if place % _MOST_NESTED == 0:
            without.append(text)
        without[-1] = substituted(without[-1], word, "")
    return or_(*(differs(each, text) for each in without))


@definition
def heard(words: Expression) -> Expression:
    """What notes speak of: `NOTHING` or `OF_PAIN`. words: as `taken_back` leaves them."""
    return if_(same(words, ""), NOTHING, if_(_stands_in(words, PAIN), OF_PAIN, NOTHING))


@definition
def words_so_far(words_before: Expression, words: Expression) -> Expression:
    """The words of a session's exercises up to this one: what asks for a physician is looked for once a session."""
    return join(words_before, words)


@definition
def alarm_words(all_words: Expression, typed_words: Expression) -> Expression:
    """A session's notes, and its answers to what hurts and where, with what is ordinary tied up: " _chest_muscle "."""
    words = _written(join(all_words, typed_words), _AFTER_A_SET)
    for way in _WAYS:
        words = substituted(words, f" {way} ", " ")
    return _tied(words, _ORDINARY)


@definition
def heart_heard(alarm_words: Expression) -> Expression:
    """1 where a session's words speak of heart or breath, else 0."""
    return if_(same(alarm_words, ""), 0, if_(_stands_in(alarm_words, OF_THE_HEART), 1, 0))


@definition
def alarm_heard(alarm_words: Expression, heart_heard: Expression) -> Expression:
    """1 where a session's words ask for a physician, else 0."""
    found = if_(or_(heart_heard > 0, _stands_in(alarm_words, OF_THE_SENSES)), 1, 0)
    return if_(same(alarm_words, ""), 0, found)


@definition
def alarming(typed_words: Expression) -> Expression:
    """1 where what is said to hurt asks for a physician by itself, else 0."""
    where = _where(typed_words)
    return if_(same(typed_words, ""), 0, if_(_stands_in(where, WHERE_IT_HURTS), 1, 0))


def _where(words: Expression) -> Expression:
    """Words without a chest that is well, or no more than a muscle or a part of the back."""
    well = [f"{part} {how}" for part in ("chest", "heart") for how in _WELL]
    well += ["brust ok", "brust gut", "herz ok", "herz gut", "pecho bien", "corazon bien"]
    return _tied(words, (*well, *_NO_CHEST))


def _of_one(text: str) -> str:
    """A text of its own, through all steps, for `read`."""
    words = _one.value(text)
    for step in STEPS:
        words = step.value(words)
    return str(words)


@definition
def _one(text: Expression) -> Expression:
    return _plainly(join(text, " , "))


def word_heard(text: str, words: tuple[str, ...]) -> str:
    """The word of a list that a text has in it, as its steps have it; "" without one that is not taken back.

    words: of `PAIN`, `ALARM` and `WHERE_IT_HURTS`, each asked as the sheet asks it.
    """
    spoken = _of_one(text)
    of_alarm, of_where = str(alarm_words.value(spoken, "")), str(_of_where.value(spoken))
    found = [
        (place, word, asked)
        for word in words
        for asked in (of_alarm if word in _ALARMS else of_where if word in WHERE_IT_HURTS else spoken,)
        if (place := asked.find(word)) >= 0
    ]
    if not found:
        return ""
    place, word, asked = min(found)
    return asked[place : asked.index(" ", place + len(word.rstrip()))].strip(" |,")


_ALARMS = frozenset(ALARM)


@definition
def _of_where(words: Expression) -> Expression:
    return _where(words)
