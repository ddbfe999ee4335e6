// German for what the core says. Keys are its English words and sentences, with {} where something stands that is
// translated in its turn, {"} where a name stands in quotes and is kept, {#} where a number stands. What no key fits
// stays English, so nothing is lost: a sentence that changes in the core shows here as English. One list, so that
// another output can take it over.
const words: Record<string, string> = {
  "down weight": "Niedergewicht", "up weight": "Aufgewicht", "balance weight": "Gleichgewicht", friction: "Reibung",
  "let-off": "Auslösung", drop: "Abnick", dip: "Spieltiefe", blow: "Steighöhe", aftertouch: "Nachdruck",
  "let-off resistance": "Widerstand der Auslösung", "distance ratio": "Wegübersetzung",
  "weight ratio": "Gewichtsübersetzung", "capstan on heel": "Pilote am Sattel",
  "capstan on heel cloth": "Pilote auf Satteltuch", "jack on knuckle": "Stoßzunge an Hammerrolle",
  "lever on knuckle": "Repetierschenkel an Hammerrolle", "tender on let-off button": "Zungenarm an Auslösepuppe",
  "hammer centre": "Hammerachse", "wippen centre": "Hebegliedachse", "jack centre": "Stoßzungenachse",
  "repetition lever centre": "Repetierschenkelachse", "lever centre": "Repetierschenkelachse", "key centre": "Waagpunkt",
  "balance pin": "Waagstift", "front pin": "Vorderstift", "stored energy": "Federn und Gewichte", key: "Taste",
  wippen: "Hebeglied", jack: "Stoßzunge", "repetition lever": "Repetierschenkel", hammer: "Hammer", capstan: "Pilote",
  knuckle: "Hammerrolle", "back check": "Fänger", "front punching": "Druckscheibe vorn", "let-off button": "Auslösepuppe",
  "drop screw": "Abnickschraube", "jack stop": "Stoßzungenanschlag", "lever stop": "Schenkelanschlag",
  "repetition spring": "Repetierfeder", "key start": "Taste beginnt", "jack trips": "Stoßzunge löst aus",
  "jack clear": "Stoßzunge frei", "string contact": "Saite", "string left": "Saite verlassen",
  "key bottom": "Taste unten", check: "gefangen", "jack reset": "Stoßzunge zurück", "key back": "Taste zurück",
  "tender meets button": "Zungenarm an Puppe", "lever meets drop screw": "Schenkel an Abnickschraube",
  "capstan moved": "Pilote versetzt", "capstan lean": "Neigung der Pilote", cap: "andere Pilotenkappe",
  "heel build-up": "Sattel unterlegt", "heel re-glued": "Sattel versetzt", "heel re-covered": "Sattel neu bezogen",
  "heel bolstered": "Sattel aufgepolstert", lead: "Tastenblei", "assist spring": "Hilfsfeder", "spread shim": "Beilage am Balken",
  "hammer weight": "Hammergewicht", part: "anderes Teil", material: "anderes Tuch oder Leder", "set value": "Wert gesetzt",
  "balance punching halved": "Waagscheibe halbiert", "balance punching shimmed": "Waagscheibe unterlegt",
  "jack button": "Stoßzungenknopf", "lever height": "Schenkelhöhe", "front-rail pin": "Vorderstift", heel: "Sattel",
  "rest cushion": "Ruhepolster", "repetition lever on knuckle": "Repetierschenkel an Hammerrolle",
  "friction from capstan on heel": "Reibung der Pilote am Sattel", "tender on button": "Zungenarm an Auslösepuppe",
  "toward the balance rail": "zum Waagbalken", "toward the strings": "zu den Saiten", "toward the player": "zum Spieler",
  string: "Saite", shank: "Hammerstiel", "drop screw and button": "Abnickschraube",
  "fall of the force curves": "Abfall der Kraftkurven", "friction over the window (mean)": "Reibung über das Fenster (Mittel)",
  "reflected mass": "wirksame Masse", "slide of capstan on heel to let-off": "Gleitweg Pilote am Sattel bis Auslösung",
  "slide of capstan on heel to full dip": "Gleitweg Pilote am Sattel bis unten", "key ratio": "Tastenverhältnis",
  "jack top to knuckle at rest": "Stoßzunge bis Rolle in Ruhe", "dip at let-off": "Spieltiefe bei Auslösung",
  "dip where the tender meets its button": "Spieltiefe, wo der Zungenarm die Puppe trifft",
  "mean down force": "mittlere Kraft abwärts", "mean up force": "mittlere Kraft aufwärts", "lever product": "Hebelprodukt",
  "dip where the down weight is set": "Spieltiefe des Niedergewichts", "dip where the up weight is set": "Spieltiefe des Aufgewichts",
  "shank to rest cushion at rest": "Stiel bis Ruhepolster", "jack clear of the knuckle core at full dip": "Stoßzunge frei vom Rollenkern unten",
  "jack top to knuckle at full dip": "Stoßzunge bis Rolle unten", "cap edge to cloth edge at half stroke": "Kappenrand bis Tuchrand, halber Weg",
  "contact above the line of centres at half stroke": "Berührung über der Achsenlinie, halber Weg",
  "least margin to the cap's edge": "kleinster Abstand zum Kappenrand", "least margin on the lifting face": "kleinster Abstand auf der Hubfläche",
  "front weight as it stands": "Vordergewicht, wie es steht", "front weight": "Vordergewicht", "wippen weight": "Hebegliedgewicht",
  "strike weight": "Anschlaggewicht", "key height at rest": "Tastenhöhe in Ruhe", spread: "Achsabstand Hebeglied–Hammer",
  "wippen centre height": "Höhe der Hebegliedachse", "hammer centre height": "Höhe der Hammerachse", "string height": "Saitenhöhe",
  "hanging distance": "Achsabstand der Rolle", "hammer length": "Hammerlänge", bore: "Hammerhöhe (Bohrung)", "key friction": "Tastenreibung",
  checking: "Fangabstand", up: "auf", down: "ab", "add paper": "Papier zulegen", "take paper out": "Papier herausnehmen",
  "jack toward the player": "Stoßzunge zum Spieler", "jack toward the strings": "Stoßzunge zu den Saiten",
  "lever lower": "Schenkel tiefer", "lever higher": "Schenkel höher", stronger: "stärker", weaker: "schwächer",
  distance: "Weg", direction: "Richtung", "lean drilled": "Neigung der Bohrung", "plug mass": "Masse des Dübels", angle: "Winkel",
  about: "um", height: "Höhe", length: "Länge", centre: "Mitte", cloth: "Tuch", density: "Dichte", width: "Breite", shift: "Verschiebung",
  shim: "Beilage", tilt: "Schiefe", "heel mass": "Masse des Sattels", "shim density": "Dichte der Beilage", diameter: "Durchmesser",
  mass: "Masse", action: "Handlung", to: "nach", strength: "Stärke", fade: "Nachlassen", thickness: "Dicke", rail: "Balken",
  amount: "Betrag", "taken from": "genommen vom", place: "Stelle", coefficient: "Reibwert", pivot: "Achse", torque: "Moment",
  bushing: "Garnierung", weight: "Gewicht", slot: "Platz", id: "Datei", shape: "Form", "dome radius": "Kuppenradius",
  "edge fillet": "Kantenradius", give: "Nachgiebigkeit", under: "unter", value: "Wert", groove: "Mulden",
  add: "einsetzen", remove: "herausnehmen", move: "versetzen", flat: "flach", domed: "gewölbt", wider: "weiter", closer: "enger",
  "hammer rail": "Hammerbalken", "wippen rail": "Hebegliedbalken", head: "Kopf", "margin on the cap": "Rand auf der Kappe", "margin on the face": "Rand auf der Hubfläche",
  "repetition lever on the knuckle": "Repetierschenkel an der Hammerrolle", "jack on the knuckle": "Stoßzunge an der Hammerrolle",
  "head and shank alike": "Kopf und Stiel gleich",
  "stretched over it": "darüber gespannt", "laid afresh": "neu gelegt", "in the old cloth": "im alten Tuch", "in the wood": "im Holz",
  "middle of its cap (apex kept)": "Kappenmitte (Scheitel bleibt)", "centre of its dome": "Mitte der Kuppe",
  "the whole punching": "die ganze Scheibe", "the player's half": "die Hälfte zum Spieler", "the strings' half": "die Hälfte zu den Saiten",
  "keep dip and blow": "Spieltiefe und Steighöhe halten", "keep dip and aftertouch": "Spieltiefe und Nachdruck halten",
  "keep blow and aftertouch": "Steighöhe und Nachdruck halten", natural: "Untertaste", sharp: "Obertaste", off: "vom", strings: "Saiten",
  player: "Spieler", taller: "höher", lower: "niedriger", more: "mehr", less: "weniger", calliper: "Schieblehre", scale: "Waage",
  "steel rule": "Stahlmaß", "small weights": "kleine Gewichte", dividers: "Zirkel", eye: "Auge", feeler: "Fühllehre",
};

const sentences: [string, string][] = [
  // What to do (models/judgement/sentences.cpp, choose.cpp)
  ["Do", "Tun"], ["Why", "Warum"], ["How sure", "Wie sicher"], ["No way back", "Kein Zurück"], ["To measure", "Zu messen"],
  ["Naturals", "Untertasten"], ["Sharps", "Obertasten"],
  ["NOT REVERSIBLE", "NICHT UMKEHRBAR"], ["undone with work or parts", "mit Arbeit oder Teilen umkehrbar"], ["undone in minutes", "in Minuten umkehrbar"],
  ["leave it as it is; nothing can be judged", "lassen, wie es ist; nichts lässt sich beurteilen"],
  ["leave it as it is", "lassen, wie es ist"], ["friction first: {}", "zuerst die Reibung: {}"],
  ["measure first, change nothing yet", "erst messen, noch nichts ändern"],
  ["{} before anything is cut: {} waits for it", "{}, bevor geschnitten wird: {} wartet darauf"],
  ["set a target ({})", "ein Ziel setzen ({})"], ["say whether you want it", "sagen, ob Sie es wollen"],
  ["{\"} ({})", "{} ({})"], ["Then weigh and look again", "Dann wiegen und neu ansehen"], ["weigh and look again", "wiegen und neu ansehen"],
  ["every other set-up is compared with this one", "jeder andere Zustand wird mit diesem verglichen"],
  ["As predicted nothing more is needed", "Nach der Vorhersage ist nichts weiter nötig"],
  ["As predicted it is then the turn of {}", "Nach der Vorhersage ist dann {} an der Reihe"],
  ["What comes then is not known yet", "Was dann kommt, ist noch nicht bekannt"],
  ["Before more is done {}: {} would wait for it", "Bevor mehr geschieht, {}: {} würde darauf warten"],
  ["better than leaving it with odds of {}, noticeably so with {}", "besser als lassen mit {}, merklich mit {}"],
  ["The second step: {}", "Der zweite Schritt: {}"],
  ["even", "gleichen Aussichten"], ["less than 1 in 10", "weniger als 1 von 10"], ["{#} in {#}", "{} von {}"],
  ["NOT REVERSIBLE: {}", "NICHT UMKEHRBAR: {}"], ["A trial note first", "Zuerst ein Probeton"],
  ["nothing of this. In the case NOT REVERSIBLE: {}", "nichts davon. Im Fall NICHT UMKEHRBAR: {}"], ["nothing of this", "nichts davon"],
  ["Nothing of this", "Nichts davon"], ["In the case NOT REVERSIBLE: {}", "Im Fall NICHT UMKEHRBAR: {}"],
  ["Not advised and NOT REVERSIBLE: {}", "Nicht geraten und NICHT UMKEHRBAR: {}"],
  ["Worst note: {}", "Schlechtester Ton: {}"], ["Then {}", "Dann {}"],
  ["{}; it then comes to {} ({#} {}, 95 %: {#} to {#})", "{}; danach {} ({} {}, 95 %: {} bis {})"],
  ["{}, but known to +-{#} {} only", "{}, aber nur auf ±{} {} bekannt"],
  ["{}, and no move of the case is known to take it away", "{}, und keine Maßnahme des Falls nimmt sie bekanntlich weg"],
  ["{}, but no move of the case makes it noticeably better", "{}, aber keine Maßnahme des Falls macht es merklich besser"],
  ["{}; the case names no move", "{}; der Fall nennt keine Maßnahme"],
  ["{}; what {\"} would do rests on values nobody measured", "{}; was {} täte, beruht auf Werten, die niemand gemessen hat"],
  ["{}; {\"} helps noticeably with odds of {} only", "{}; {} hilft merklich nur mit {}"],
  ["{}; the {} may not come to its mark then: try it on one note", "{}; {} kommt dann vielleicht nicht auf ihre Marke: an einem Ton versuchen"],
  ["the {} cannot then be set as asked", "{} lässt sich dann nicht wie verlangt stellen"],
  ["{}; {\"} takes away {#} +- {#} {} as far as is known, and nobody gauged where it sits", "{}; {} nimmt, soweit bekannt, {} ± {} {} weg, und niemand hat gemessen, wo sie sitzt"],
  ["{}; on paper {\"} would be the move", "{}; auf dem Papier wäre {} die Maßnahme"],
  ["{} {} above {}, too little to notice", "{} {} über {}, zu wenig zum Merken"],
  ["{} {}, on {}", "{} {}, auf {}"], ["{} {}, within {}", "{} {}, innerhalb von {}"],
  ["{} {}, {} above {}, too little to notice", "{} {}, {} über {}, zu wenig zum Merken"],
  ["{} {}, {} below {}, too little to notice", "{} {}, {} unter {}, zu wenig zum Merken"],
  ["{} {#} {}, {} above {}", "{} {} {}, {} über {}"], ["{} {#} {}, {} below {}", "{} {} {}, {} unter {}"],
  ["{#} {} above {}", "{} {} über {}"], ["{#} {} below {}", "{} {} unter {}"],
  ["your target of {}", "Ihrem Ziel von {}"], ["the usual {}", "dem Üblichen, {}"], ["the least of {}", "dem Mindesten von {}"],
  ["the base", "der Ausgang"], ["the base cannot be regulated", "der Ausgang lässt sich nicht regulieren"],
  ["it cannot be regulated: {}", "lässt sich nicht regulieren: {}"], ["friction comes first", "zuerst kommt die Reibung"],
  ["what it gains is no target of yours", "was es bringt, ist keines Ihrer Ziele"],
  ["{#} % of its doubt comes from values nobody measured", "{} % des Zweifels kommen von Werten, die niemand gemessen hat"],
  ["it leaves {} of {}", "es lässt {} von {}"], ["{} gets worse, {}", "{} wird schlechter, {}"],
  ["down and up weight: lay them on the key before anything is done", "Nieder- und Aufgewicht: auf die Taste legen, bevor etwas geschieht"],
  ["measure again: {}", "wieder messen: {}"], ["gauge the {}", "{} mit dem Reibungsmesser messen"],
  ["why it does not regulate", "warum es sich nicht regulieren lässt"],
  ["the parts whose values are invented or borrowed", "die Teile, deren Werte erfunden oder geborgt sind"],
  ["the friction of each centre and bushing and of the key alone, to find where it sits", "die Reibung jeder Achse und Garnierung und der Taste allein, um zu finden, wo sie sitzt"],
  ["nothing on the bench tells it but a trial note", "auf der Werkbank sagt es nur ein Probeton"],
  ["{} ({}: {#} % of the doubt)", "{} ({}: {} % des Zweifels)"], ["{}, or {}", "{}, oder {}"],
  // Of one set-up
  ["better: {}", "besser: {}"], ["worse: {}", "schlechter: {}"], ["cannot tell: {}", "nicht zu sagen: {}"],
  ["within the usual range all the same: {}", "gleichwohl im üblichen Bereich: {}"], ["trade-off, {}", "Tausch, {}"],
  ["no change that could be noticed in what is judged", "keine merkliche Änderung in dem, was beurteilt wird"],
  ["Held back: {}", "Zurückgehalten: {}"], ["{} {#} {} (probably, {})", "{} {} {} (wahrscheinlich, {})"], ["{} {#} (probably, {})", "{} {} (wahrscheinlich, {})"],
  ["{\"} is NOT REVERSIBLE: do it on one trial note, regulate, weigh and play that note before the others", "{} ist NICHT UMKEHRBAR: an einem Probeton tun, regulieren, wiegen und spielen, bevor die anderen drankommen"],
  ["The second step is worked out by adding changes", "Der zweite Schritt ist durch Addieren der Änderungen bestimmt"],
  ["Weigh again after the first and judge afresh", "Nach dem ersten wieder wiegen und neu urteilen"],
  ["{\"} ({}) would come nearer still, but to no target of yours: say what you want before it is thought of", "{} ({}) käme noch näher, aber an keines Ihrer Ziele: sagen Sie zuerst, was Sie wollen"],
  ["{#} values of this case come from invented or borrowed parts and were measured by nobody", "{} Werte dieses Falls kommen von erfundenen oder geborgten Teilen und wurden von niemandem gemessen"],
  ["one trial note", "ein Probeton"],
  // Cautions (viz/table/cautions.cpp)
  ["trial note first", "zuerst ein Probeton"], ["a prediction is no substitute for a trial note", "eine Vorhersage ersetzt keinen Probeton"],
  ["no way back", "kein Zurück"], ["what is marked NOT REVERSIBLE cannot be undone", "was NICHT UMKEHRBAR heißt, ist nicht rückgängig zu machen"],
  ["lifting the action", "Mechanik herausnehmen"],
  ["two hands, level, hammers clear of the pin block", "zwei Hände, waagrecht, Hämmer frei vom Stimmstock"],
  ["leave plate and structural screws alone", "Schrauben von Platte und Rahmen nicht anrühren"],
  ["springs", "Federn"], ["protect the eyes, hold the free end", "Augen schützen, freies Ende halten"],
  ["key leads", "Tastenblei"],
  ["no dry sanding, wipe wet, gloves, bag the waste, follow local lead rules", "nicht trocken schleifen, nass wischen, Handschuhe, Abfall in den Beutel, örtliche Bleivorschriften beachten"],
  ["never drill dry into lead", "nie trocken in Blei bohren"],
  ["drilling", "Bohren"], ["clamp the key, stop short of the bottom, trial note first", "Taste einspannen, vor dem Boden enden, zuerst ein Probeton"],
  ["saw and knife", "Säge und Messer"], ["clamp, hands behind the cut", "einspannen, Hände hinter dem Schnitt"],
  ["heat and steam", "Hitze und Dampf"], ["scalds, and loosens other glue", "verbrüht und löst anderen Leim"],
  ["dust", "Staub"], ["extract it or wear a mask", "absaugen oder Maske tragen"],
  ["thin glue", "dünner Kleber"], ["fumes irritate and can sensitise: extract the air, protect the eyes", "Dämpfe reizen und können überempfindlich machen: Luft absaugen, Augen schützen"],
  ["solvents", "Lösemittel"], ["flammable: no flame, open windows", "brennbar: keine Flamme, Fenster auf"],
  ["old and valuable instruments", "alte und wertvolle Instrumente"],
  ["valuable or historic: ask a qualified conservator or licensed practitioner, follow local codes", "wertvoll oder historisch: eine geprüfte Restauratorin oder einen zugelassenen Fachmann fragen, örtliche Regeln befolgen"],
  // Work (models/remedies)
  ["{#} to {#} h for 88 notes, note by note", "{} bis {} h für 88 Töne, Ton für Ton"],
  ["{#} to {#} h for 88 notes, the whole set at once", "{} bis {} h für 88 Töne, alle auf einmal"], ["not known", "nicht bekannt"],
  ["several hundred parts to buy and fit; no way back once they are glued", "mehrere hundert Teile zu kaufen und einzupassen; kein Zurück, wenn sie geleimt sind"],
  ["cloth settles: blow and dip shift in the first months", "Tuch setzt sich: Steighöhe und Spieltiefe wandern in den ersten Monaten"],
  ["all 88 alike in thickness", "alle 88 gleich dick"], ["felt settles: blow and dip shift in the first months", "Filz setzt sich: Steighöhe und Spieltiefe wandern in den ersten Monaten"],
  ["find out first whether a real part or tool does this", "zuerst klären, ob ein wirkliches Teil oder Werkzeug das tut"],
  ["knuckles re-hung at one distance on every shank, square to it", "Rollen an jedem Stiel im selben Abstand und winklig"],
  ["whether such caps can be had for all notes", "ob es solche Kappen für alle Töne gibt"],
  ["it cures friction only, not the geometry", "heilt nur die Reibung, nicht die Geometrie"],
  ["easing too far makes parts wander and jacks slip out early", "zu viel Luft lässt Teile wandern und Stoßzungen früh ausrutschen"],
  ["the tone changes with the hammers", "mit den Hämmern ändert sich der Klang"],
  ["a heavily leaded key feels slow when played hard", "eine schwer verbleite Taste ist bei hartem Spiel träge"], ["old holes stay", "alte Löcher bleiben"],
  ["a key on springs can feel bouncy", "eine gefederte Taste kann schwammig wirken"],
  ["the stack must stay square, and the strike line moves with a shimmed hammer rail", "das Gestell muss winklig bleiben, und die Anschlaglinie wandert mit einem unterlegten Hammerbalken"],
  ["key height and dip change with it", "Tastenhöhe und Spieltiefe ändern sich mit"], ["the punching may turn on its pin", "die Scheibe kann sich auf dem Stift drehen"],
  ["half a shim may creep", "eine halbe Beilage kann wandern"],
  ["88 holes on one straight line, square and at one depth", "88 Löcher auf einer Geraden, winklig und gleich tief"],
  ["the cap may meet the cloth with its edge", "die Kappe kann das Tuch mit der Kante treffen"],
  ["strength of the joint, heels square to the wippen, much labour", "Festigkeit der Leimfuge, Sättel winklig zum Hebeglied, viel Arbeit"],
  ["whether the strip stays put, and is alike on all 88 notes", "ob der Streifen bleibt, wo er ist, und auf allen 88 Tönen gleich ist"],
  ["new capstan hole {#} mm {}: middle of the cap {} (was {#} mm)", "neues Pilotenloch {} mm {}: Kappenmitte {} (vorher {} mm)"],
  ["{#} mm toward the balance rail", "{} mm zum Waagbalken"], ["{#} mm toward the strings", "{} mm zu den Saiten"], ["{#} mm toward the player", "{} mm zum Spieler"],
  ["friction of the {}", "Reibung: {}"],
  ["{#} mm in front of the balance hole", "{} mm vor dem Waagloch"], ["{#} mm behind the balance hole", "{} mm hinter dem Waagloch"],
  ["lean the capstan from {#} to {#} deg: top {#} mm toward the {} over 25 mm, {}", "Pilote von {} auf {} Grad neigen: oben {} mm zu {} auf 25 mm, {}"],
  ["centre of its dome kept in place", "Mitte der Kuppe bleibt am Ort"], ["middle of its cap kept in place", "Kappenmitte bleibt am Ort"],
  ["strip {} thick, {#} mm long, from {#} to {#} mm from the wippen centre, cloth {}", "Streifen {} dick, {} mm lang, von {} bis {} mm ab Hebegliedachse, Tuch {}"],
  ["cut the heel off, glue it on {#} mm {}, {}: lifting face then {#} to {#} mm from the wippen centre", "Sattel abschneiden, {} mm {} wieder anleimen, {}: Hubfläche dann {} bis {} mm ab Hebegliedachse"],
  ["over a shim of {}", "auf einer Beilage von {}"], ["no shim", "ohne Beilage"],
  ["bring the {} to {#}: pressed together by 100 g, {#} g draw it along", "{} auf {} bringen: mit 100 g zusammengedrückt, ziehen {} g es entlang"],
  ["ease or re-pin the {} to {#} gf at 23 mm, moving", "{} gangbar machen oder neu stiften auf {} gf bei 23 mm, bewegt"],
  ["bring the {} to {} at the playing point", "{} auf {} am Spielpunkt bringen"],
  ["fit the spring and set it until down weight, key at rest, is {} less than without it", "Feder einsetzen und stellen, bis das Niedergewicht in Ruhe um {} kleiner ist als ohne sie"],
  ["fit the spring and set it until down weight, key at rest, is {} more than without it", "Feder einsetzen und stellen, bis das Niedergewicht in Ruhe um {} größer ist als ohne sie"],
  ["put in {#} g of lead {}", "{} g Blei einsetzen, {}"], ["take out {#} g of lead {}", "{} g Blei herausnehmen, {}"],
  ["move {#} g of lead {} to {}", "{} g Blei von {} nach {}"],
  ["knuckle core {#} mm from the hammer centre along the shank (was {#} mm)", "Rollenkern {} mm ab Hammerachse entlang des Stiels (vorher {} mm)"],
  ["knuckle {} across its leather (was {#} mm)", "Rolle {} über das Leder (vorher {} mm)"],
  ["bolster of {} under the whole cushion", "Polster von {} unter dem ganzen Kissen"],
  ["{} at the {}, spread {}: then {#} mm", "{} am {}, Achsabstand {}: dann {} mm"],
  ["lay {\"}, {} thick (was {#} mm)", "{} legen, {} dick (vorher {} mm)"], ["fit {} {\"}", "{} {} einbauen"],
  ["cover {} with {\"}", "{} mit {} beziehen"],
  ["take {#} g off the head: strike weight {#} gf (was {#} gf)", "{} g vom Kopf nehmen: Anschlaggewicht {} gf (vorher {} gf)"],
  ["add {#} g to the head: strike weight {#} gf (was {#} gf)", "{} g am Kopf zugeben: Anschlaggewicht {} gf (vorher {} gf)"],
  ["the key is at the end of its dip before the hammer lets off: allow more dip, a shorter blow or a wider let-off", "die Taste ist unten, bevor der Hammer auslöst: mehr Spieltiefe, kleinere Steighöhe oder weitere Auslösung geben"],
  ["lever knuckle", "Repetierschenkel an Hammerrolle"], ["jack knuckle", "Stoßzunge an Hammerrolle"],
  // The bench sheet
  ["The stack", "Das Gestell"], ["The key", "Die Taste"], ["The wippen", "Das Hebeglied"], ["The hammer", "Der Hammer"], ["On the scale", "Auf der Waage"],
  ["Friction by gauge, moving, not at breakaway", "Reibung mit dem Messer, bewegt, nicht beim Losreißen"],
  ["As found: weighed and measured before a screw is turned", "Wie vorgefunden: gewogen und gemessen, bevor eine Schraube gedreht wird"],
  ["To be regulated to (once for the piano)", "Zu regulieren auf (einmal für das Instrument)"], ["the same", "ebenso"],
  ["{#} to {#}", "{} bis {}"],
];

const kDepth = 12;
interface Rule {
  match: RegExp;
  kinds: string[];
  to: string;
}
const escaped = (text: string) => text.replace(/[.*+?^$()|[\]\\]/g, "\\$&");
const rules: Rule[] = sentences.map(([from, to]) => {
  const kinds = [...from.matchAll(/\{(["#]?)\}/g)].map((m) => m[1] ?? "");
  const pattern = from
    .split(/\{["#]?\}/)
    .map((piece) => escaped(piece).replace(/[{}]/g, "\\$&"))
    .reduce((all, piece, k) => all + { "": "(.+?)", "#": "([-+−]?\\d[\\d.]*)", '"': '("[^"]*")' }[kinds[k - 1] ?? ""] + piece);
  return { match: new RegExp(`^${pattern}$`, "s"), kinds, to };
});

const number = (text: string) => text.replace(/(\d)\.(\d)/g, "$1,$2");
const upper = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const lowerFirst = (text: string) => text.charAt(0).toLowerCase() + text.slice(1);

function whole(text: string, depth: number): string | null {
  const word = words[text];
  if (word !== undefined) return word;
  for (const rule of rules) {
    const found = rule.match.exec(text);
    if (!found) continue;
    const slots = found.slice(1).map((slot, k) => (rule.kinds[k] === '"' ? slot : rule.kinds[k] === "#" ? number(slot) : translate(slot, depth + 1)));
    let k = 0;
    return rule.to.replace(/\{\}/g, () => slots[k++] ?? "");
  }
  return null;
}

function translate(text: string, depth: number): string {
  if (depth > kDepth || text.trim() === "") return text;
  const direct = whole(text, depth);
  if (direct !== null) return direct;
  const small = lowerFirst(text);
  if (small !== text) {
    const found = whole(small, depth);
    if (found !== null) return upper(found);
  }
  if (/^"[^"]*"(?:(?:, | and )"[^"]*")+$/.test(text)) return text.replace(/" and "/g, '" und "');
  const stop = /^(.*)([.:!?])$/s.exec(text);
  if (stop && !/[.!?] /.test(text)) return translate(stop[1] ?? "", depth) + (stop[2] ?? "");
  for (const [split, join] of [[/(?<=[.!?]) /, " "], [/; /, "; "], [/: /, ": "], [/, /, ", "], [/ and /, " und "]] as [RegExp, string][]) {
    const at = text.indexOf(": ");
    const pieces = join === ": " && at >= 0 ? [text.slice(0, at), text.slice(at + 2)] : text.split(split);
    if (pieces.length < 2) continue;
    const made = pieces.map((p) => translate(p, depth + 1));
    if (made.some((m, k) => m !== pieces[k])) return made.join(join);
  }
  // "friction -2.1 gf", "3.0 mm"
  const amount = /^(.+?) ([-+−]?\d[\d.]*(?: to [-+−]?\d[\d.]*)?(?: [A-Za-z%/°]+)?)$/.exec(text);
  if (amount && words[amount[1] ?? ""]) return `${words[amount[1]!]} ${number((amount[2] ?? "").replace(" to ", " bis "))}`;
  if (/^[-+−±]?\d[\d.]*( to [-+−]?\d[\d.]*)?( ?[A-Za-z%/°]{0,3})$/.test(text)) return number(text.replace(" to ", " bis "));
  return text;
}

const made = new Map<string, string>();
export function inGerman(text: string): string {
  const before = made.get(text);
  if (before !== undefined) return before;
  const now = translate(text, 0);
  if (made.size > 2000) made.clear();
  made.set(text, now);
  return now;
}
