"""The words by which a note speaks of pain, or of what asks for a physician, and those that take them back.

Data only: `pain_words` says how a text is read with them. English, German and Spanish, and the commonest words of other
languages: people note in their own. All from memory.
"""

from __future__ import annotations

from blockbook.formula.expression import LINE_BREAK

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

APART = (",", ".", ";", ":", "!", "?", "(", ")")
BLANKS = ("-", LINE_BREAK)
PLAIN = {"’": "'", "á": "a", "é": "e", "í": "i", "ó": "o", "ú": "u"}
JOINTS = (
    "knee", "knees", "hip", "shoulder", "elbow", "elbows", "wrist", "wrists", "ankle", "neck", "achilles",
    "knie", "hüfte", "schulter", "ellbogen", "ellenbogen", "handgelenk", "sprunggelenk", "nacken", "rücken", "kreuz",
    "rodilla", "cadera", "hombro", "codo", "muñeca", "tobillo", "cuello", "espalda",
)  # fmt: skip
"""What is sore for another reason than a muscle; "back" is apart, since it is a way, too."""

JOINT = "joint"

ALIKE = {
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

SIDES = ("left", "right", "linkes", "rechtes", "linke", "rechte", "linker", "rechter", "linken", "rechten")

SAY_NOTHING = (
    "a", "the", "my", "in", "on", "of", "is", "was", "felt", "feels", "feeling", "any", "more", "really", "very",
    "bit", "little", "slightly", "still", "get", "getting", "got", "some", "sign", "signs",
    "tut", "sehr", "mehr", "im", "der", "den", "auf", "am", "etwas", "leicht", "noch",
    "el", "la", "en", "me", "de", "hay", "un",
)  # fmt: skip
"""Words between a "no" and what it takes back, or between a chest and what is wrong with it."""

TURNED = {
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

OVER = (
    " : none ", " : no , ", " : nein , ", " : keine ", " : kein ", " : nada ", " : ninguno ", " : ninguna ",
    " : 0 , ", " ? none ", " ? keine ", " 0 or 10 ", " free ", " gone ", " went away ", " frei ", " weg ", " nicht , ",
)  # fmt: skip
"""What stands behind a pain that is none any more."""

TAKE_BACK = (
    " no ", " not ", " without ", " never ", " nothing ", "n't ", " kein ", " keine ", " keinen ", " ohne ", " nicht ",
    " nichts ", " sin ", " nada ", " ningun ", " ninguna ", " sans ", " senza ", " sem ",
)  # fmt: skip
CUES = (
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

NO_CHEST = ("chest muscle", "brustwirbel", "brustmuskel")
"""Muscles, and a part of the back."""

ORDINARY = (
    "tight chest up", "keep chest tight", "kept chest tight", "chest tight and up",
    "chest up and tight", "tight chest big breath", "tight chest , big breath", "tight back , tight chest",
    "brust eng halten", "enge brust halten", "pecho apretado y arriba",
    "mantener pecho apretado", "took short breath", "take short breath", "short breath after set",
    "heart racing after set", "heart pounding after set", "herz rast nach satz", "can't_feel_it",
    "can't_feel_lats", "can't_feel_lat ", "can't_feel_glutes", "can't_feel_quads", "can't_feel_pecs",
    "can't_feel_hamstrings", "can't_feel_muscle", "pump , can't_feel_legs", "numb from cold", "numb hands from cold",
    "numb fingers from cold", "cold , fingers numb", "cold , hands numb", "cold numb ", *NO_CHEST,
)  # fmt: skip
"""What has a word of alarm in it, and is a cue, the cold, or ordinary after a hard set."""

AFTER_A_SET = {" after hard set ": " after set ", " after last set ": " after set "} | {
    f" {after} {reps} {unit} ": f" {after} {one} "
    for after, unit, one in (("after", "reps", "set"), ("nach", "wdh", "satz"))
    for reps in (8, 10, 12, 15, 20)
}
"""After so many reps anyone is short of breath. Common practice, no source."""

WAYS = ("middle", "across", "behind", "down", "into", "radiating to", "radiating")
"""Words between a pain and the chest or arm that it is in."""

WELL = ("fine", "ok", "okay", "good", "clear")
"""What a chest is said to be where it does not hurt."""

TAKEN_ALONG = (
    "_ningun ", "_ninguna ", "_chest ", "_sharp ", "_brust ", "_pecho ", "_joint ", "_back ", "_feel ", "_free ",
    "_hamstring ", "_quad ", "_groin ", "_or ",
)  # fmt: skip
"""What passes a "no" on to the word behind it."""

LISTED = (
    "pain", "pains", "ache", "aches", "schmerz", "schmerzen", "dolor", "molestia", "molestias", "discomfort",
    "dizziness", "dizzy", "schwindel", "mareo", "mareos", "numbness", "numb", "taubheit", "hormigueo", "tingling",
    "kribbeln", "swelling", "sore", "soreness", "injury",
)  # fmt: skip
"""What a "no" passes over to what stands behind its "or": "no pain or numbness"."""

LISTS = (
    "_pain , dizziness or ", "_pain , dizziness , or ", "_pain , numbness or ", "_pain , numbness , or ",
    "_schmerzen , schwindel or ", "_aches and pains ", "_numbness and tingling ", "_pain and discomfort ",
)  # fmt: skip
"""Lists that a "no" takes back as a whole. Any other "and" may begin what is there: "no pain and numb fingers"."""
