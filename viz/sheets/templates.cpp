#include "viz/sheets/templates.h"

namespace leverwright::sheets {

// Black on white throughout: what matters is said by a sign, by weight and by words, never by a colour. Rows
// are 6 mm and more, so that a pencil finds room; a row never breaks across pages and heads are repeated.
const char* const kSheetTemplate = R"html(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{title}}</title>
<style>
@page { size: {{paper}}; margin: 8mm 10mm 8mm 12mm; }
:root { color: #000000; background: #ffffff; }
body { font: 8.6pt/1.2 "DejaVu Sans", Verdana, sans-serif; margin: 0 auto; padding: 1mm; max-width: 188mm; }
h1 { font-size: 12.5pt; margin: 0 0 0.5mm; }
h2 { font-size: 9.5pt; margin: 2mm 0 0.6mm; break-after: avoid; }
p { margin: 0.7mm 0; }
.small { font-size: 6.8pt; }
.head { display: flex; gap: 4mm; font-size: 8.6pt; margin: 1mm 0; }
.head span { flex: 1; border-bottom: 0.3mm solid #000000; padding-top: 3.2mm; }
.drawings { display: grid; grid-template-columns: 108fr 78fr; gap: 0.5mm 2mm; margin: 0.5mm auto; width: {{drawing}}%; break-inside: avoid; }
.column { display: flex; flex-direction: column; justify-content: space-between; }
figure { margin: 0; }
figure img { width: 100%; height: auto; display: block; }
h2.next { break-before: page; }
figure.true img { width: 161mm; }
figcaption { font-size: 7pt; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; margin-bottom: -0.2mm; }
.choice { white-space: nowrap; }
.halves { display: flex; }
.half { flex: 1; height: 5.2mm; font-size: 5.8pt; }
.half + .half { border-left: 0.2mm solid #000000; padding-left: 0.5mm; }
th, td { border: 0.2mm solid #000000; padding: 0.1mm 0.8mm; text-align: left; vertical-align: middle; font-weight: normal; overflow-wrap: break-word; }
tbody tr { height: {{row}}mm; break-inside: avoid; }
thead th { white-space: nowrap; font-size: 6.4pt; font-weight: bold; height: 3.6mm; }
th.section { font-weight: bold; border-width: 0.5mm 0.2mm 0.2mm; font-size: 8pt; height: 3.6mm; }
tbody tr.section { height: 3.8mm; break-after: avoid; }
td.natural { font-size: 5.8pt; letter-spacing: -0.05mm; }
td.number { text-align: center; font-weight: bold; padding: 0; line-height: 1; }
td.what { font-size: 7.8pt; line-height: 1.08; }
td.what .where { font-size: 6.4pt; }
td.tool, td.usual { font-size: 6.4pt; line-height: 1.1; }
td.within { font-size: 7pt; line-height: 1; }
td.within.finer { font-weight: bold; }
td.none { text-align: center; }
td.blank { vertical-align: top; font-size: 6.4pt; line-height: 1; }
.unit { float: right; font-size: 6.6pt; }
.box { display: inline-block; width: 3mm; height: 3mm; border: 0.3mm solid #000000; vertical-align: -0.5mm; text-align: center; line-height: 3mm; font-size: 8pt; margin: 0 0.6mm 0 0; }
td.words { font-size: 6.2pt; }
.line { border-bottom: 0.2mm solid #000000; height: 6mm; }
</style>
</head>
<body>
<main>
<h1>Bench sheet: {{title}}</h1>
<p class="small">{{#question}}Asked: {{question}} {{/question}}{{#invented}}An invented piano: no maker, workshop or person is meant. {{/invented}}"To within" means that two readings in three should lie this close. {{#marked}}<b>&#9670;</b>: matters most for what is asked; bold: finer than usual. {{/marked}}{{#filled}}Small figures: what the case knows already; leave them, or write over them. {{/filled}}Measure with the action as found; type the numbers into the file beside this sheet and read it with <i>leverwright sheet --read</i>.</p>
<div class="head"><span>piano</span><span>date</span><span>humidity</span><span>by</span></div>
<div class="drawings">
<div class="column">{{#left}}<figure><img src="{{{data}}}" alt="{{alt}}"><figcaption>{{caption}}</figcaption></figure>{{/left}}</div>
<div class="column">{{#right}}<figure><img src="{{{data}}}" alt="{{alt}}"><figcaption>{{caption}}</figcaption></figure>{{/right}}</div>
</div>
{{#tables}}{{#trace}}<h2 class="next">Positions, and the heel's trace (only where no part file fits; left empty, the part files count)</h2>
<figure class="true"><img src="{{{data}}}" alt="{{alt}}"><figcaption>{{caption}}</figcaption></figure>{{/trace}}
{{#single}}<table>
<colgroup><col style="width: 7.5mm"><col><col style="width: 15mm"><col style="width: 15.5mm"><col style="width: 13.5mm">{{#notes}}<col style="width: {{width}}mm">{{/notes}}</colgroup>
<thead><tr><th scope="col">line</th><th scope="col">measurement</th><th scope="col">tool</th><th scope="col">usual</th><th scope="col">to within</th>{{#notes}}<th scope="col">{{name}}</th>{{/notes}}</tr></thead>
<tbody>
{{#rows}}{{#section}}<tr class="section"><th class="section" scope="colgroup" colspan="{{all}}">{{section}}</th></tr>
{{/section}}{{#line}}<tr><td class="number">{{number}}</td><td class="what"><b>{{name}}</b>{{#most}} &#9670;{{/most}}{{#where}} <span class="where">{{where}}</span>{{/where}}</td><td class="tool">{{tool}}</td><td class="usual">{{usual}}</td><td class="within {{finer}}">{{within}}</td>{{#cells}}<td class="{{kind}}" colspan="{{span}}">{{#parted}}<div class="halves">{{/parted}}{{#halves}}<div class="half"><span class="unit">{{unit}}</span>{{known}}</div>{{/halves}}{{#parted}}</div>{{/parted}}{{#unit}}<span class="unit">{{unit}}</span>{{/unit}}{{known}}{{#words}}<span class="choice"><span class="box">{{on}}</span>{{word}}</span> {{/words}}</td>{{/cells}}</tr>
{{/line}}{{/rows}}</tbody>
</table>{{/single}}
{{#pairs}}<table>
<colgroup><col style="width: 7.5mm"><col><col style="width: 13.5mm"><col style="width: 25mm"><col style="width: 7.5mm"><col><col style="width: 13.5mm"><col style="width: 25mm"></colgroup>
<thead><tr><th scope="col">line</th><th scope="col">measurement</th><th scope="col">to within</th><th scope="col">value</th><th scope="col">line</th><th scope="col">measurement</th><th scope="col">to within</th><th scope="col">value</th></tr></thead>
<tbody>
{{#rows}}{{#section}}<tr class="section"><th class="section" scope="colgroup" colspan="8">{{section}}</th></tr>
{{/section}}{{#two}}<tr>{{#line}}<td class="number">{{number}}</td><td class="what"><b>{{name}}</b>{{#most}} &#9670;{{/most}}{{#where}} <span class="where">{{where}}</span>{{/where}}{{#usual}} <span class="where">({{usual}} usual)</span>{{/usual}}</td><td class="within {{finer}}">{{within}}</td>{{#cells}}<td class="{{kind}}" colspan="{{span}}">{{#parted}}<div class="halves">{{/parted}}{{#halves}}<div class="half"><span class="unit">{{unit}}</span>{{known}}</div>{{/halves}}{{#parted}}</div>{{/parted}}{{#unit}}<span class="unit">{{unit}}</span>{{/unit}}{{known}}{{#words}}<span class="choice"><span class="box">{{on}}</span>{{word}}</span> {{/words}}</td>{{/cells}}{{/line}}{{#alone}}<td colspan="4"></td>{{/alone}}</tr>
{{/two}}{{/rows}}</tbody>
</table>{{/pairs}}
{{/tables}}
{{#next_page}}<p class="small">&#9670; <b>On the page of positions (--parts):</b> {{next_page}}.</p>{{/next_page}}
{{#not_on_sheet}}<p class="small"><b>Not to be measured here, and yet in doubt:</b> {{not_on_sheet}}. Weigh off sample notes and run leverwright calibrate.</p>{{/not_on_sheet}}
<p class="small"><b>Cautions:</b> {{cautions}}.</p>
<p class="small"><b>Remarks:</b> wear on the heel cloth, noises, what was repaired before</p>
{{#remark_lines}}<div class="line"></div>{{/remark_lines}}
</main>
</body>
</html>
)html";

const char* const kOrderTemplate = R"html(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{title}}</title>
<style>
@page { size: {{paper}}; margin: 12mm 12mm 12mm 14mm; }
:root { color: #000000; background: #ffffff; }
body { font: 9.5pt/1.3 "DejaVu Sans", Verdana, sans-serif; margin: 0 auto; padding: 1mm; max-width: 186mm; }
h1 { font-size: 14pt; margin: 0 0 1mm; }
h2 { font-size: 11pt; margin: 2.8mm 0 0.8mm; border-bottom: 0.5mm solid #000000; break-after: avoid; }
h3 { font-size: 9.5pt; margin: 3mm 0 1mm; break-after: avoid; }
p { margin: 1mm 0; }
.small { font-size: 8pt; }
.head { display: flex; gap: 4mm; margin: 1mm 0 2mm; }
.head span { flex: 1; border-bottom: 0.3mm solid #000000; padding-top: 4mm; }
.why { border: 0.4mm solid #000000; padding: 1mm 2mm; }
figure { margin: 2mm 0; break-inside: avoid; }
figure img { width: 100%; height: auto; display: block; max-height: 96mm; }
figcaption { font-size: 8pt; }
ol, ul { margin: 1mm 0; padding-left: 0; list-style: none; }
li { break-inside: avoid; margin: 0.6mm 0; padding-left: 11.5mm; text-indent: -11.5mm; }
ul li { padding-left: 4mm; text-indent: -4mm; }
.box { display: inline-block; width: 3.4mm; height: 3.4mm; border: 0.3mm solid #000000; vertical-align: -0.6mm; margin-right: 1.5mm; text-indent: 0; }
.step { display: inline-block; width: 6mm; text-indent: 0; font-weight: bold; }
table { border-collapse: collapse; width: 100%; font-size: 8.5pt; }
caption { text-align: left; font-size: 8pt; padding: 0 0 0.6mm; }
th, td { border: 0.2mm solid #000000; padding: 0.5mm 1.2mm; text-align: left; vertical-align: middle; font-weight: normal; }
thead th { font-weight: bold; }
tbody tr { break-inside: avoid; height: 6mm; }
td.figure { text-align: right; white-space: nowrap; }
td.pencil { width: 20mm; }
.never { border: 0.8mm solid #000000; font-weight: bold; padding: 0.5mm 1.5mm; }
.cautions, .stop { border: 0.5mm solid #000000; padding: 0 2mm; }
.stop { border-width: 0.8mm; }
</style>
</head>
<body>
<main>
<h1>Work order: {{set_up}}</h1>
<p>{{case_title}} Computed for note {{note}}{{#instrument}}, {{instrument}}{{/instrument}}.{{#invented}} An invented piano: no maker, workshop or person is meant.{{/invented}}</p>
<div class="head"><span>piano</span><span>trial note</span><span>date</span><span>by</span></div>
<p class="why"><b>What.</b> {{what}}<br><b>Why.</b> {{why}}</p>
{{#judged}}<p class="never">{{text}}</p>
{{/judged}}{{#irreversible}}<p><span class="never">NOT REVERSIBLE: {{irreversible}}</span></p>{{/irreversible}}
<p class="small">A prediction is no substitute for a trial note. {{labour}}</p>
{{#figures}}<figure><img src="{{{data}}}" alt="{{alt}}"><figcaption>{{caption}}</figcaption></figure>
{{/figures}}
<h2>First</h2>
<ol>{{#before}}<li><span class="box"></span><span class="step">{{step}}</span>{{text}}</li>{{/before}}</ol>
<h2>The work, on the trial note</h2>
<p class="small">{{tolerance_words}}</p>
{{#tasks}}<h3>{{kind}} {{#never}}<span class="never">{{never}}</span>{{/never}}{{#back}}({{back}}){{/back}}</h3>
<p>Alters {{alters}}. {{labour}}</p>
<table>
<caption>Marks and sizes</caption>
<thead><tr><th scope="col">mark</th><th scope="col">size</th><th scope="col">unit</th><th scope="col">to within</th><th scope="col">from</th><th scope="col">came out</th></tr></thead>
<tbody>{{#marks}}<tr><td>{{what}}</td><td class="figure"><b>{{value}}</b></td><td>{{unit}}</td><td>{{tolerance}}</td><td>{{from}}</td><td class="pencil"></td></tr>
{{/marks}}</tbody>
</table>
<ol>{{#steps}}<li><span class="box"></span><span class="step">{{step}}</span>{{#never}}<b>NOT REVERSIBLE.</b> {{/never}}{{text}}</li>{{/steps}}</ol>
{{#remarks}}<p><b>Note:</b> {{text}}</p>{{/remarks}}
<p class="small">Tools: {{tools}}. Watch out for: {{worry}}.{{#side_effects}} It also changes: {{side_effects}}.{{/side_effects}}</p>
{{/tasks}}
<h2>Regulate</h2>
<table>
<caption>In this order, to the targets; the moves are counted from "{{base}}" as regulated to the same specification ({{policy}}).</caption>
<thead><tr><th scope="col">screw</th><th scope="col">target</th><th scope="col">move</th><th scope="col">done</th></tr></thead>
<tbody>{{#screws}}<tr><td>{{screw}}</td><td>{{target}}</td><td>{{move}}</td><td class="pencil"></td></tr>
{{/screws}}</tbody>
</table>
<ol>{{#after}}<li><span class="box"></span><span class="step">{{step}}</span>{{text}}</li>{{/after}}</ol>
<h2>What you should find afterwards</h2>
<table>
<caption>{{expected_words}}</caption>
<thead><tr><th scope="col">note</th><th scope="col">reading</th><th scope="col">before</th><th scope="col">predicted, 95 %</th><th scope="col">stop below</th><th scope="col">stop above</th><th scope="col">after</th><th scope="col">inside</th></tr></thead>
<tbody>{{#expected}}<tr><td>{{note}}</td><td>{{name}}</td><td class="figure">{{before}}</td><td class="figure">{{predicted}}</td><td class="figure">{{low}}</td><td class="figure">{{high}}</td><td class="pencil"></td><td><span class="box"></span></td></tr>
{{/expected}}</tbody>
</table>
<h2>Stop when</h2>
<div class="stop"><ul>{{#stop}}<li>&#9632; {{.}}</li>{{/stop}}</ul></div>
<h2>Cautions</h2>
<div class="cautions"><ul>{{#cautions}}<li><b>{{about}}</b>: {{text}}</li>{{/cautions}}</ul></div>
<h2>Done</h2>
<div class="head"><span>trial note inside its bands</span><span>played and approved by</span></div>
<div class="head"><span>whole set done</span><span>date</span><span>name</span></div>
<p class="small">Leverwright {{version}}; case file {{case_path}}. The readings go into the measurements file beside this order, under the same notes and names.</p>
</main>
</body>
</html>
)html";

}  // namespace leverwright::sheets
