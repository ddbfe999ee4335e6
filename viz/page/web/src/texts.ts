// Every text of the page in its two languages; what the core says is put into German by german.ts.
import { signal } from "@preact/signals";
import { inGerman, typedGerman } from "./german";
import { prefer, preference } from "./keep";
import { inLengths } from "./units";

export type Language = "en" | "de";
const first: Language = navigator.language.startsWith("de") ? "de" : "en";
export const language = signal<Language>(preference("language", first) === "de" ? "de" : "en");
export function speak(next: Language): void {
  language.value = next;
  prefer("language", next);
  document.documentElement.lang = next;
}

const texts = {
  loading: ["Setting up the bench ...", "Die Werkbank wird eingerichtet ..."],
  failed: ["This browser cannot run the bench", "Dieser Browser kann die Werkbank nicht ausführen"],
  failed_advice: [
    "Any browser of the last three years can: update it, or open the file with another one.",
    "Jeder Browser der letzten drei Jahre kann es: aktualisieren oder die Datei mit einem anderen öffnen.",
  ],
  no_case: ["A piano for the bench", "Ein Instrument für die Werkbank"],
  sheet_text: [
    "Type what you measured: 112.5, 112.5 +- 0.25, 4 7/16 in, several readings 53 / 54 / 53. A field left empty means: don't know; an estimate with a wide range stands there. Lines bear the numbers of the printed bench sheet. Or open a case file (.toml).",
    "Tippen Sie, was gemessen ist: 112,5, 112,5 +- 0,25, 4 7/16 in, mehrere Ablesungen 53 / 54 / 53. Ein leeres Feld heißt: weiß nicht; dort steht eine Schätzung mit weitem Bereich. Die Zeilen tragen die Nummern des gedruckten Messblatts. Oder öffnen Sie eine Falldatei (.toml).",
  ],
  sheet_title: ["Name of the piano", "Name des Instruments"],
  sheet_note: ["Note measured", "Gemessener Ton"],
  sheet_part: ["Asked", "Gefragt"],
  sheet_first: ["what tells most", "was am meisten sagt"],
  sheet_sheet: ["the whole sheet", "das ganze Blatt"],
  sheet_all: ["positions of the parts as well", "auch die Lage der Teile"],
  sheet_make: ["To the bench", "Auf die Werkbank"],
  sheet_keep: ["Save the answers as a sheet", "Antworten als Messblatt speichern"],
  sheet_given: ["lines answered", "Zeilen beantwortet"],
  new_sheet: ["New piano from the bench sheet", "Neues Instrument vom Messblatt"],
  do_not_know: ["don't know", "weiß nicht"],
  is_usual: ["is usual", "ist üblich"],
  not_taken: ["Not taken:", "Nicht angenommen:"],
  leaning: [
    "First numbers, from the case as written. They move once the case is leaned on its readings as found; that takes up to a minute, and nothing waits for it.",
    "Erste Zahlen, aus dem Fall wie geschrieben. Sie ändern sich, sobald der Fall an seine Messwerte des Fundzustands gelehnt ist; das dauert bis zu einer Minute, und nichts wartet darauf.",
  ],
  open_case: ["Open a case file", "Falldatei öffnen"],
  begin_invented: ["Begin with an invented piano", "Mit einem erfundenen Instrument beginnen"],
  save_case: ["Save the case", "Fall speichern"],
  print: ["Print", "Drucken"],
  undo: ["Undo", "Zurück"],
  redo: ["Redo", "Wieder vor"],
  settings: ["Settings", "Einstellungen"],
  language: ["Language", "Sprache"],
  lengths: ["Lengths", "Längen"],
  millimetres: ["millimetres", "Millimeter"],
  inches: ["inches", "Zoll"],
  light_dark: ["Light or dark", "Hell oder dunkel"],
  as_device: ["as the device", "wie das Gerät"],
  light: ["light", "hell"],
  dark: ["dark", "dunkel"],
  type_size: ["Type", "Schrift"],
  normal: ["normal", "normal"],
  large: ["large", "groß"],
  start_afresh: ["Throw my changes away", "Meine Änderungen verwerfen"],
  licences: ["Made with", "Gemacht mit"],
  close: ["Close", "Schließen"],
  workshop: ["Workshop", "Werkstatt"],
  customer: ["Customer", "Kunde"],
  classroom: ["Classroom", "Unterricht"],
  face: ["View for", "Ansicht für"],
  the_action: ["The action", "Die Mechanik"],
  at_rest: ["at rest", "in Ruhe"],
  half_stroke: ["half stroke", "halber Weg"],
  let_off: ["let-off", "Auslösung"],
  shown_how: ["Moment, forces, nearer, regulated to", "Augenblick, Kräfte, näher, reguliert auf"],
  moment: ["Shown", "Gezeigt"],
  forces: ["Forces", "Kräfte"],
  whole: ["whole", "ganz"],
  nearer: ["nearer", "näher"],
  drag_hint: [
    "Drag the capstan along the key, or use the arrow keys.",
    "Pilote entlang der Taste ziehen, oder die Pfeiltasten benutzen.",
  ],
  policy: ["Regulated to", "Reguliert auf"],
  take_hold: ["Take hold of", "Anfassen"],
  tool_capstan: ["Capstan", "Pilote"],
  tool_strip: ["Strip", "Streifen"],
  tool_heel: ["Heel", "Sattel"],
  tool_knuckle: ["Knuckle", "Rolle"],
  tool_leads: ["Leads", "Blei"],
  tool_springs: ["Springs", "Federn"],
  tool_screws: ["Screws", "Schrauben"],
  hint_capstan: [
    "Drag the capstan along the key, its foot for the lean, the third mark for its height (its screw, by hand). Arrow keys move a tenth.",
    "Pilote entlang der Taste ziehen, ihren Fuß für die Neigung, die dritte Marke für ihre Höhe (Schraube, von Hand). Pfeiltasten bewegen ein Zehntel.",
  ],
  hint_strip: [
    "A strip under the heel cloth: drag its thickness down, its place and its end along the heel.",
    "Streifen unter dem Satteltuch: Dicke nach unten ziehen, Ort und Ende entlang des Sattels.",
  ],
  hint_heel: [
    "Drag the heel along the wippen, the second mark down for a shim above it.",
    "Sattel entlang des Hebeglieds ziehen, die zweite Marke nach unten für eine Beilage darüber.",
  ],
  hint_knuckle: [
    "Drag the knuckle along the shank, the second mark down for a thicker one.",
    "Rolle entlang des Stiels ziehen, die zweite Marke nach unten für eine dickere.",
  ],
  hint_leads: [
    "Drag a lead along the key; of one put in, the mark above for its mass.",
    "Blei entlang der Taste ziehen; bei einem eingesetzten die Marke darüber für seine Masse.",
  ],
  hint_springs: [
    "Drag down for more help by a spring at the key; the mark at the wippen turns the repetition spring by hand.",
    "Nach unten ziehen für mehr Federhilfe an der Taste; die Marke am Hebeglied stellt die Repetierfeder von Hand.",
  ],
  hint_screws: [
    "By hand, not regulated: drag a screw up or down, an eighth of a turn each step, and see let-off, drop and aftertouch move.",
    "Von Hand, nicht reguliert: Schraube auf oder ab ziehen, je Schritt eine Achtelumdrehung, und Auslösung, Abnick und Nachdruck folgen sehen.",
  ],
  capstan_lean: ["Lean of the capstan", "Neigung der Pilote"],
  capstan_height: ["Height of the capstan, by hand", "Höhe der Pilote, von Hand"],
  strip_thickness: ["Thickness of the strip", "Dicke des Streifens"],
  strip_place: ["Middle of the strip from the wippen centre", "Streifenmitte ab Hebegliedachse"],
  strip_length: ["Length of the strip", "Länge des Streifens"],
  heel_shift: ["Heel shifted", "Sattel versetzt"],
  heel_shim: ["Shim above the heel", "Beilage über dem Sattel"],
  knuckle_place: ["Hanging distance of the knuckle", "Achsabstand der Rolle"],
  knuckle_diameter: ["Diameter of the knuckle", "Durchmesser der Rolle"],
  key_lead: ["Lead", "Blei"],
  added_lead_place: ["Place of the lead put in", "Ort des eingesetzten Bleis"],
  added_lead_mass: ["Mass of the lead put in", "Masse des eingesetzten Bleis"],
  in_front_of_hole: ["in front of the balance hole", "vor dem Waagloch"],
  behind_hole: ["behind the balance hole", "hinter dem Waagloch"],
  assist_spring: ["Help of a spring at the key", "Federhilfe an der Taste"],
  put_strip: ["Put in a strip", "Streifen einlegen"],
  put_lead: ["Put in a lead", "Blei einsetzen"],
  capstan: ["Capstan", "Pilote"],
  capstan_place: ["Place of the capstan", "Ort der Pilote"],
  toward_strings: ["toward the strings", "zu den Saiten"],
  toward_balance: ["toward the balance rail", "zum Waagbalken"],
  as_it_was: ["where it was", "wo sie war"],
  at_the_heel: ["Capstan and heel, enlarged", "Pilote und Sattel, vergrößert"],
  worn_path: ["coloured: the path it wears", "farbig: die Spur, die sie läuft"],
  set_ups: ["Set-ups", "Zustände"],
  base: ["base", "Ausgang"],
  add_set_up: ["Add a set-up", "Zustand hinzufügen"],
  copy_set_up: ["Copy", "Kopieren"],
  remove_set_up: ["Remove", "Entfernen"],
  my_trial: ["my trial", "mein Versuch"],
  compare_with: ["Compare with", "Vergleichen mit"],
  name: ["Name", "Name"],
  what_changes: ["What is changed", "Was geändert wird"],
  nothing_changed: ["Nothing: the action as the case has it.", "Nichts: die Mechanik wie im Fall."],
  base_is_fixed: [
    "This is the base. Move the capstan or add a change: a new set-up begins with it.",
    "Das ist der Ausgangszustand. Pilote ziehen oder Änderung wählen: ein neuer Zustand beginnt.",
  ],
  add_change: ["Add a change", "Änderung hinzufügen"],
  choose: ["choose ...", "wählen ..."],
  take_out: ["Take out", "Herausnehmen"],
  usual_worry: ["Look out", "Zu beachten"],
  numbers: ["Numbers", "Zahlen"],
  quantity: ["quantity", "Größe"],
  measured: ["measured", "gemessen"],
  change: ["change", "Änderung"],
  band: ["±", "±"],
  band_means: ["one standard deviation of the change", "eine Standardabweichung der Änderung"],
  felt: ["noticed?", "spürbar?"],
  noticed: ["yes", "ja"],
  not_noticed: ["no", "nein"],
  all_numbers: ["All numbers", "Alle Zahlen"],
  copy_csv: ["Table as CSV", "Tabelle als CSV"],
  copy_svg: ["Figure as SVG", "Bild als SVG"],
  copied: ["Copied and saved.", "Kopiert und gespeichert."],
  regulated_as: ["Regulated afresh", "Neu reguliert"],
  not_regulated: ["Cannot be regulated", "Lässt sich nicht regulieren"],
  no_answer: ["No answer", "Keine Antwort"],
  force_dip: ["Force against dip", "Kraft über Spieltiefe"],
  dip: ["dip", "Spieltiefe"],
  going_down: ["down", "abwärts"],
  coming_up: ["up", "aufwärts"],
  ledger: ["Where the friction is", "Wo die Reibung sitzt"],
  ledger_text: [
    "Shares of half the difference of the forces going down and coming up, mean over the stroke.",
    "Anteile an der halben Differenz der Kräfte abwärts und aufwärts, Mittel über den Weg.",
  ],
  rubbing: ["rubbing", "Reiben"],
  cloth: ["cloth", "Tuch"],
  centre: ["centre", "Achse"],
  stored: ["springs and weights", "Federn und Gewichte"],
  screws: ["Screws", "Schrauben"],
  screws_text: [
    "Turns against the base. Turn one by hand and see what let-off, drop and aftertouch do.",
    "Umdrehungen gegen den Ausgang. Drehen Sie selbst und sehen Sie Auslösung, Abnick und Nachdruck folgen.",
  ],
  turns: ["turns", "Umdr."],
  left: ["left", "Rest"],
  by_hand: ["by hand", "von Hand"],
  less: ["less", "weniger"],
  more: ["more", "mehr"],
  regulate_again: ["Regulate again", "Wieder regulieren"],
  as_turned: ["As the screws stand, not regulated.", "Wie die Schrauben stehen, nicht reguliert."],
  stroke: ["One stroke", "Ein Anschlag"],
  play: ["Play", "Spielen"],
  pause: ["Pause", "Halt"],
  touch: ["Touch", "Anschlag"],
  repeated_full: ["repeated, key back to rest", "Repetition, Taste ganz zurück"],
  repeated_partial: ["repeated, key back 60 %", "Repetition, Taste 60 % zurück"],
  rate: ["Rate", "Folge"],
  blows: ["Hammer at the string", "Hammer an der Saite"],
  silent: ["silent", "stumm"],
  side_by_side: ["side by side", "nebeneinander"],
  click_curve: ["Click the curve to see the action at that dip.", "Kurve anklicken, um die Mechanik bei dieser Spieltiefe zu sehen."],
  slower: ["Slowed down", "Verlangsamt"],
  time: ["time", "Zeit"],
  last_event: ["Event before", "Ereignis zurück"],
  next_event: ["Next event", "Nächstes Ereignis"],
  back_to_bench: ["Back to the bench", "Zurück zur Werkbank"],
  key_dip: ["key dip", "Tastenweg"],
  hammer_distance: ["hammer to string", "Hammer bis Saite"],
  hammer_speed: ["hammer speed at the string", "Hammer an der Saite"],
  travel_time: ["key start to string", "Tastenbeginn bis Saite"],
  key_bottom_after: ["key at the bottom after the string", "Taste unten nach der Saite"],
  string_time: ["hammer on the string", "Hammer liegt an der Saite"],
  peak_force: ["most force of the finger", "größte Kraft des Fingers"],
  check_distance: ["checked below the string", "gefangen unter der Saite"],
  finger_force: ["finger", "Finger"],
  what_to_do: ["What to do", "Was tun"],
  working: ["Bands and advice are being worked out", "Bereiche und Rat werden berechnet"],
  no_judgement: ["No advice: a set-up has no answer.", "Kein Rat: ein Zustand hat keine Antwort."],
  cautions: ["Cautions", "Vorsicht"],
  cautions_full: ["In full", "Ausführlich"],
  not_reversible: ["NOT REVERSIBLE", "NICHT UMKEHRBAR"],
  invented: ["An invented piano", "Ein erfundenes Instrument"],
  problems: ["This case file was refused", "Diese Falldatei wurde abgelehnt"],
  line: ["line", "Zeile"],
  expected: ["expected", "erwartet"],
  kept_here: [
    "Your work is kept in this browser. Nothing is sent anywhere.",
    "Ihre Arbeit bleibt in diesem Browser. Nichts wird gesendet.",
  ],
  customer_question: ["What happens if the capstan moves?", "Was geschieht, wenn die Pilote wandert?"],
  customer_weight: ["The key weighs", "Die Taste wiegt"],
  customer_back: ["and comes back with", "und kommt zurück mit"],
  customer_friction: ["friction takes, each way,", "die Reibung nimmt je Richtung"],
  questions: ["Questions", "Fragen"],
  answer: ["Answer", "Antwort"],
  next_question: ["Next question", "Nächste Frage"],
  lighter_question: [
    "Will the key be lighter or heavier to press down?",
    "Wird die Taste beim Niederdrücken leichter oder schwerer?",
  ],
  lighter: ["Lighter", "Leichter"],
  heavier: ["Heavier", "Schwerer"],
  same: ["Hardly other", "Kaum anders"],
  right_answer: ["Right.", "Richtig."],
  wrong_answer: ["Not so.", "Nicht so."],
  screw_question: ["Which screw was turned?", "Welche Schraube wurde verstellt?"],
  screw_found: ["One screw is off. The numbers say:", "Eine Schraube ist verstellt. Die Zahlen sagen:"],
  prediction: [
    "A prediction is no substitute for a trial note.",
    "Eine Vorhersage ersetzt keinen Probeton.",
  ],
} as const;

export type TextKey = keyof typeof texts;
export function t(key: TextKey): string {
  return texts[key][language.value === "de" ? 1 : 0];
}

// A trade word of the core.
export function trade(word: string): string {
  return language.value === "de" ? inGerman(word) : word;
}

// What is to be typed into a case file: its own words but for whole sentences.
export function typed(text: string): string {
  return language.value === "de" ? typedGerman(text) : text;
}

// A sentence of the core; its millimetres in inches where those are chosen, but for what stands in quotes and the radius of
// a gauge ("at 23 mm").
export function said(sentence: string): string {
  return inLengths(language.value === "de" ? inGerman(sentence) : sentence);
}

// A sentence about a file, which stays in the file's units.
export function saidOfFile(sentence: string): string {
  return language.value === "de" ? inGerman(sentence) : sentence;
}
