#include "viz/report/template.h"

namespace leverwright::report {

// Colours keep 7:1 on white; widths follow the screen; a table wider than a phone scrolls by itself and can
// be reached with the keyboard, and so does a picture whose words would be too small there. On paper sections
// keep together, pictures stand in the size they are drawn for (words of 7 point and more), two to a page,
// and the film gives way to its pictures. Words come first, so that the pictures fill the pages after them.
const char* const kPage = R"html(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{title}}</title>
<style>
:root { color: #22222c; background: #ffffff; }
body { font: 17px/1.5 "DejaVu Sans", Verdana, sans-serif; margin: 0 auto; padding: 1rem; max-width: 62rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0.5rem 0; text-wrap: balance; }
h2 { font-size: 1.2rem; margin: 2rem 0 0.5rem; border-bottom: 2px solid #22222c; }
h3 { font-size: 1rem; margin: 1.2rem 0 0.3rem; }
p, li { max-width: 46rem; }
.answer { border-left: 0.4rem solid #2a3f8f; padding: 0.3rem 1rem; background: #eef1fb; font-size: 1.1rem; }
.note { color: #44444f; font-size: 0.9rem; }
img, video { max-width: 100%; height: auto; display: block; }
figure { margin: 1rem 0; }
figcaption { color: #44444f; font-size: 0.9rem; }
.wide { overflow-x: auto; }
.wide:focus, a:focus, summary:focus { outline: 3px solid #2a3f8f; }
.wide img { max-width: none; }
@media (min-width: 45rem) { .wide img { max-width: 100%; } }
@media (max-width: 44.99rem) { .wide img { width: 40rem; } ul { padding-left: 1.4rem; } }
caption { text-align: left; }
table { border-collapse: collapse; font-size: 0.9rem; }
th, td { padding: 0.3rem 0.6rem; text-align: right; border-bottom: 1px solid #c9c9d2; vertical-align: top; }
th:first-child { text-align: left; }
thead th { border-bottom: 2px solid #22222c; vertical-align: bottom; }
.better { font-weight: bold; color: #0d4d2b; }
.worse { font-weight: bold; color: #7a1613; }
.number { white-space: nowrap; }
.word { display: block; font-size: 0.8rem; max-width: 6em; margin-left: auto; }
.cautions { border: 2px solid #7a1613; padding: 0 1rem; }
@page { margin: 12mm 14mm; }
@media print {
  html { font-size: 10pt; }
  body { font-size: 1rem; line-height: 1.4; padding: 0; max-width: none; }
  p, li { max-width: none; }
  h1 { margin-top: 0; }
  h2 { margin-top: 1rem; }
  .cautions li, .assumed li { font-size: 0.88rem; margin: 0.1rem 0; }
  figure { margin: 0.7rem 0; }
  figure, .answer, tr, .cautions, .list { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  .wide { overflow: visible; }
  .wide img { max-width: 100%; width: auto; }
  .columns { columns: 3; column-gap: 5mm; break-inside: avoid; }
  .columns h3 { margin-top: 0; }
  .columns .list { font-size: 0.9rem; padding-bottom: 0.3rem; }
  .columns ul { padding-left: 1.2rem; margin: 0; }
  table { font-size: 0.82rem; width: 100%; }
  th, td { padding: 0.15rem 0.25rem; }
  .word { font-size: 0.72rem; }
  video, .screen { display: none; }
}
</style>
</head>
<body>
<header>
<p class="note">{{audience}}</p>
<h1>{{title}}</h1>
{{#invented}}<p class="note">An invented piano: no maker, workshop or person is meant.</p>{{/invented}}
</header>
<main>
{{#question}}<h2>The question</h2>
<p>{{question}}</p>{{/question}}
<h2>The answer</h2>
<div class="answer"><p>{{answer}}</p>
<ul>{{#more_answer}}<li>{{.}}</li>{{/more_answer}}</ul></div>
{{#stopped}}<p><strong>The study was not finished ({{status}}); only finished set-ups are shown.</strong></p>{{/stopped}}
<h2>The comparison</h2>
<p>{{table_words}}</p>
<div class="wide" tabindex="0" role="region" aria-label="Comparison of the set-ups">
<table>
<caption class="note">{{table_caption}}</caption>
<thead><tr><th scope="col">set-up</th>{{#measures}}<th scope="col">{{name}}{{#unit}}<br>({{unit}}){{/unit}}</th>{{/measures}}</tr></thead>
<tbody>
{{#rows}}<tr><th scope="row">{{name}}{{#undone}}<br><span class="word">{{undone}}</span>{{/undone}}</th>{{#cells}}<td><span class="number">{{text}}</span>{{#word}}<span class="word {{kind}}">{{word}}</span>{{/word}}</td>{{/cells}}</tr>
{{/rows}}</tbody>
</table>
</div>
{{#has_failed}}<h3>Set-ups without an answer</h3>
<ul>{{#failed}}<li>{{.}}</li>{{/failed}}</ul>{{/has_failed}}
{{#verdicts_shown}}<h3>In words</h3>
<ul>{{#verdicts}}<li><strong>{{name}}</strong>{{#undone}} ({{undone}}){{/undone}}: {{text}}</li>{{/verdicts}}</ul>{{/verdicts_shown}}
{{#workshop}}<h2>Regulation screws against the first set-up</h2>
<div class="columns">{{#screws}}<div class="list"><h3>{{name}}</h3><ul>{{#list}}<li>{{.}}</li>{{/list}}</ul></div>{{/screws}}</div>
{{#has_warnings}}<h2>Look at this first</h2>
{{#warnings}}<h3>{{name}}</h3><ul>{{#list}}<li>{{.}}</li>{{/list}}</ul>{{/warnings}}{{/has_warnings}}{{/workshop}}
<h2>How sure this is</h2>
<p>{{sure_words}}</p>
{{#has_rests_on}}<h3>What this rests on</h3>
<ul>{{#rests_on}}<li>{{.}}</li>{{/rests_on}}</ul>{{/has_rests_on}}
{{#training}}<h2>The mathematics behind it</h2>
<p>A set-up is weighed at every dip <i>y</i> twice: <i>F</i><sub>down</sub>(<i>y</i>) while the key sinks slowly and
<i>F</i><sub>up</sub>(<i>y</i>) while it comes back. Down weight <i>D</i> is the largest <i>F</i><sub>down</sub> and up weight
<i>U</i> the smallest <i>F</i><sub>up</sub> between 1 mm of dip and the dip at which the jack's tender meets its button.</p>
<p>Balance weight = (<i>D</i> + <i>U</i>) / 2. Friction = (<i>D</i> - <i>U</i>) / 2. At each dip half the difference of the two
forces is the sum of what every contact, centre and cloth loses; each is computed from its own force and speed, none as what is left over.</p>
<p>Sliding speed at a contact = relative turning speed of the two parts x distance of the contact from the pitch point,
where the contact's normal crosses the line of centres. A contact on that line rolls and does not slide.</p>
<p>A change is called better or worse when it exceeds 1.96 of its standard deviations towards or away from the target;
errors common to both set-ups cancel in the difference.</p>{{/training}}
<h2>What was assumed</h2>
<ul class="assumed">{{#assumptions}}<li>{{.}}</li>{{/assumptions}}</ul>
<h2>Cautions</h2>
<div class="cautions"><ul>{{#cautions}}<li><strong>{{about}}</strong>: {{text}}</li>{{/cautions}}</ul></div>
<h2>Pictures</h2>
{{#figures}}<figure><div class="wide" tabindex="0" role="region" aria-label="{{caption}}"><img src="{{{data}}}" alt="{{alt}}"></div><figcaption>{{caption}}</figcaption></figure>
{{/figures}}
{{#has_film}}<h2>The stroke in slow motion</h2>
<p class="screen">{{film_words}}</p>
{{#film}}<video class="screen" controls preload="metadata" aria-label="{{film_words}}" src="{{{film}}}"></video>{{/film}}
{{#stills}}<figure><div class="wide" tabindex="0" role="region" aria-label="{{caption}}"><img src="{{{data}}}" alt="{{alt}}"></div><figcaption>{{caption}}</figcaption></figure>
{{/stills}}{{/has_film}}
</main>
<footer>
<h2>Versions</h2>
<p class="note">Leverwright {{version}}; study of {{created}}, {{status}}; case file {{case_path}}. Every number and curve is in the
results file {{study}}.</p>
</footer>
</body>
</html>
)html";

}  // namespace leverwright::report
