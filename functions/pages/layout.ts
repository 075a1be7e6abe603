/** The frame of every page: one document, one stylesheet, no script. */
import { html, raw } from 'hono/html'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import { type Markup, webDocument } from '../web/web-page.ts'

export function documentOf(
  title: string,
  main: Markup,
  here: 'roster' | 'notices' | 'proposals' | 'other' = 'other',
): Markup {
  return webDocument(
    title,
    stylesheet,
    html`<a class="skip" href="#main">To the content</a>
<header><a class="name" href="/roster">Quarterturn</a><span>Bench tests, due dates and holds of insulated sticks</span>
<nav aria-label="Lists">${link('/roster', 'Roster', here === 'roster')}${link('/notices', 'Notices', here === 'notices')}${link('/proposals', 'Changes', here === 'proposals')}</nav></header>
<main id="main">
${main}
</main>
<footer><p>${safetyWords}</p></footer>`,
  )
}

const link = (path: string, text: string, isHere: boolean) =>
  html`<a href="${path}"${isHere ? raw(' aria-current="page"') : ''}>${text}</a>`

const stylesheet = `
:root { color-scheme: light dark; --paper: #fbfaf7; --sheet: #ffffff; --ink: #1d2327; --quiet: #555f66; --line: #d9d6cd; --link: #0b4f79;
  --stop: #9d1c1c; --late: #8a3b00; --soon: #6b5200; --good: #1e5b37; --out: #4a4a4a; --stop-bg: #fbeaea; --late-bg: #fdeee2; --soon-bg: #fbf4d9; --good-bg: #e8f3ec; --out-bg: #eeeeee }
@media (prefers-color-scheme: dark) { :root { --paper: #14181b; --sheet: #1c2226; --ink: #e8eaeb; --quiet: #aab4ba; --line: #374046; --link: #8cc8f0;
  --stop: #ffb0b0; --late: #ffc499; --soon: #f0d675; --good: #9fdcb6; --out: #c8c8c8; --stop-bg: #4a1f1f; --late-bg: #47290f; --soon-bg: #3d340f; --good-bg: #173524; --out-bg: #33383b } }
* { box-sizing: border-box }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.45 system-ui, "Segoe UI", "Liberation Sans", sans-serif }
a { color: var(--link) }
a:focus-visible, button:focus-visible, input:focus-visible, select:focus-visible, summary:focus-visible { outline: 3px solid var(--link); outline-offset: 2px }
.skip { position: absolute; left: -999rem } .skip:focus { left: 1rem; top: .5rem; background: var(--sheet); padding: .5rem 1rem; z-index: 1 }
header { display: flex; flex-wrap: wrap; gap: .25rem 1rem; align-items: baseline; padding: .9rem 1.5rem; border-bottom: 1px solid var(--line); background: var(--sheet) }
header .name { font-weight: 700; font-size: 1.2rem; text-decoration: none; color: var(--ink) } header span { color: var(--quiet) }
header nav { margin-left: auto; display: flex; flex-wrap: wrap; gap: .25rem 1.25rem } header nav a { display: inline-block; min-height: 24px; min-width: 24px } header nav a[aria-current] { color: var(--ink); font-weight: 600; text-decoration: none }
main { max-width: 78rem; margin: 0 auto; padding: 1.25rem 1.5rem }
footer { max-width: 78rem; margin: 0 auto; padding: 0 1.5rem 2rem; color: var(--quiet); font-size: .9rem }
h1 { font-size: 1.6rem; margin: .25rem 0 1rem; line-height: 1.2 } h2 { font-size: 1.15rem; margin: 1.75rem 0 .6rem }
form.filter { display: flex; flex-wrap: wrap; gap: .75rem; align-items: end; margin: 0 0 1.25rem }
form.filter label { display: grid; gap: .2rem; font-size: .85rem; color: var(--quiet) }
input, select, button { font: inherit; color: var(--ink); background: var(--sheet); border: 1px solid var(--quiet); border-radius: .3rem; padding: .4rem .6rem; min-height: 2.5rem }
button { font-weight: 600; cursor: pointer }
table { border-collapse: collapse; width: 100%; background: var(--sheet); border: 1px solid var(--line) }
caption { text-align: left; color: var(--quiet); padding: 0 0 .5rem; caption-side: top }
th, td { text-align: left; vertical-align: top; padding: .6rem .75rem; border-top: 1px solid var(--line) }
thead th { font-size: .8rem; color: var(--quiet); font-weight: 600; border-top: 0 }
tbody th { font-weight: 600; white-space: nowrap } tbody th a { display: inline-block; min-height: 24px; min-width: 24px }
td.why { color: var(--quiet); max-width: 34rem } td time, td .days { white-space: nowrap } td .days { color: var(--quiet); display: block; font-size: .9rem } td[data-label="Sticks"] a { white-space: nowrap } td .below { display: block; font-size: .9rem; margin-top: .2rem } td .silent { color: var(--stop) }
.status { display: inline-flex; align-items: center; gap: .4rem; padding: .12rem .6rem .12rem .4rem; border-radius: 1rem; font-weight: 600; white-space: nowrap }
.status svg { width: 1.05rem; height: 1.05rem; flex: none; fill: none; stroke: currentColor; stroke-width: 2 }
.status svg .full { fill: currentColor; stroke: none }
.stop { color: var(--stop); background: var(--stop-bg) } .late { color: var(--late); background: var(--late-bg) } .soon { color: var(--soon); background: var(--soon-bg) }
.good { color: var(--good); background: var(--good-bg) } .out { color: var(--out); background: var(--out-bg) }
nav.pages { margin: 1rem 0 } nav.pages a { display: inline-block; padding: .5rem 1rem; border: 1px solid var(--quiet); border-radius: .3rem; background: var(--sheet); text-decoration: none; font-weight: 600 }
.order { display: flex; align-items: center; gap: .6rem; margin: 0 0 1rem; padding: .5rem 1rem; border: 3px solid currentColor; color: var(--stop); background: var(--stop-bg); font-size: 1.7rem; line-height: 1.2 } .order svg { width: 1.8rem; height: 1.8rem; flex: none; fill: currentColor } td .stopped { color: var(--stop) }
.lead { font-size: 1.1rem; margin: 0 0 1rem } .lead .status { font-size: 1.05rem; margin-right: .5rem } .lead .below { font-weight: 600; margin-right: .5rem }
dl.facts { display: grid; grid-template-columns: max-content 1fr; gap: .3rem 1.25rem; margin: 0 } dl.facts dt { color: var(--quiet) } dl.facts dd { margin: 0 }
.hold h2 { margin: 0 0 .35rem } .hold ul { margin: 0 0 .5rem } .hold { background: var(--sheet); border: 1px solid var(--line); border-left: .35rem solid var(--stop); padding: .75rem 1rem; margin: 0 0 .75rem } .hold p { margin: 0 0 .35rem } .hold p:last-child { margin: 0 }
h3 { font-size: 1rem; margin: 1rem 0 .4rem }
.verdict { font-weight: 700; padding: .1rem .6rem; border-radius: .3rem; border: 2px solid currentColor; margin-right: .5rem } .verdict.pass { color: var(--good) } .verdict.fail { color: var(--stop) } .verdict.invalid, .verdict.incomplete { color: var(--late); border-style: dashed }
.strip { margin: 0 0 1rem; background: var(--sheet); border: 1px solid var(--line); padding: .75rem 1rem } .strip figcaption { margin: 0 0 .5rem; color: var(--quiet) } .strip figcaption strong { color: var(--ink) }
.turn { display: flex; align-items: center; gap: .5rem; margin: 0 0 3px } .degrees { width: 2.6rem; text-align: right; color: var(--quiet); font-size: .85rem; flex: none } .band { position: relative; flex: 1; height: 1.5rem; background: var(--paper) }
.band i { position: absolute; top: 0; bottom: 0; overflow: hidden; border-right: 1px solid var(--sheet); display: flex; align-items: center; justify-content: center }
i.conforms { background: color-mix(in srgb, var(--link) calc(var(--share) * 65%), var(--paper)) } .band i svg, .mark svg { width: 1rem; height: 1rem; flex: none; fill: none; stroke: currentColor; stroke-width: 2 } .band i svg .full, .mark svg .full { fill: currentColor; stroke: none }
.over-limit { color: var(--stop) } .in-guard-band { color: var(--late) } .not-settled, .no-limit, .overlap-too-small { color: var(--soon) } .not-read { color: var(--quiet) }
.band .over-limit { background: var(--stop); color: var(--sheet) } .band .in-guard-band { background: var(--late-bg); outline: 2px solid var(--late); outline-offset: -2px } .band .not-settled, .band .no-limit { background: var(--soon-bg); outline: 2px dotted var(--soon); outline-offset: -2px }
.band .not-read { background: repeating-linear-gradient(45deg, var(--out-bg) 0 5px, var(--sheet) 5px 10px); color: var(--ink); outline: 2px dashed var(--quiet); outline-offset: -2px } .band .overlap-too-small { border: 0; z-index: 1; overflow: visible; color: var(--ink) }
.axis { display: flex; justify-content: space-between; margin: .25rem 0 0 3.1rem; color: var(--quiet); font-size: .8rem }
.strip details { margin: .6rem 0 0 } .strip summary { cursor: pointer; min-height: 24px } .wide { overflow-x: auto } .wide table { margin: .4rem 0 0; font-size: .9rem } .wide th, .wide td { padding: .3rem .6rem; white-space: nowrap }
.mark { display: inline-flex; align-items: center; gap: .3rem } .legend { display: flex; flex-wrap: wrap; gap: .4rem 1.25rem; color: var(--quiet); font-size: .9rem; margin: 0 0 .75rem } .legend i { width: 1rem; height: 1rem; display: inline-block }
.empty { background: var(--sheet); border: 1px solid var(--line); padding: 1.25rem }
.quiet { color: var(--quiet) }
ul.reasons { margin: .35rem 0 0; padding-left: 1.1rem } ul.reasons li { margin: 0 0 .2rem }
@media screen and (max-width: 46rem), (max-width: 30rem) {
  main, header, footer { padding-left: 1rem; padding-right: 1rem } header span { display: none }
  form.filter { display: grid; grid-template-columns: 1fr 1fr; gap: .5rem .75rem } form.filter label:first-child, form.filter button { grid-column: 1 / -1 } input, select, button { width: 100%; min-width: 0 }
  table.cards thead { position: absolute; left: -999rem } table.cards, table.cards tbody, table.cards tr, table.cards td, table.cards th { display: block }
  table.cards { border: 0; background: none } table.cards tr { background: var(--sheet); border: 1px solid var(--line); border-radius: .4rem; margin: 0 0 .75rem; padding: .4rem .75rem }
  table.cards td, table.cards th { border: 0; padding: .2rem 0 } table.cards td::before { content: attr(data-label); color: var(--quiet); font-size: .8rem; display: block }
  table.cards caption { display: block }
  table.cards td .days { display: inline; margin-left: .4rem }
  dl.facts { grid-template-columns: 1fr; gap: 0 } dl.facts dd { margin: 0 0 .5rem }
}
@media print {
  :root { color-scheme: light; --paper: #fff; --sheet: #fff; --ink: #000; --quiet: #333; --line: #777; --link: #000; --stop: #000; --late: #000; --soon: #000; --good: #000; --out: #000; --stop-bg: #fff; --late-bg: #fff; --soon-bg: #fff; --good-bg: #fff; --out-bg: #fff }
  :root { font-size: 75% } body { font-size: 1rem } main, header, footer { max-width: none; padding-left: 0; padding-right: 0 }
  .wide { overflow: visible } .wide th, .wide td { padding: .2rem .3rem; white-space: normal }
  form.filter, nav.pages, header nav, .skip, .strip summary { display: none }
  .strip details::details-content { content-visibility: visible; display: block; block-size: auto; height: auto; opacity: 1 }
  tr, .hold, .order, .scale { break-inside: avoid } thead { display: table-header-group }
  .status { border: 1px solid #000 }
  i.conforms { print-color-adjust: exact; -webkit-print-color-adjust: exact; background: color-mix(in srgb, #000 calc(var(--share) * 45%), #fff); outline: 1px solid #777; outline-offset: -1px }
  .band .over-limit { background: #fff; color: #000; outline: 4px solid #000; outline-offset: -4px } .band .in-guard-band { outline: 3px double #000; outline-offset: -3px }
  .band .not-settled { outline: 2px dotted #000 } .band .no-limit { outline: 1px solid #000; outline-offset: -1px } .band .not-read { background: #fff; outline: 2px dashed #000 }
}
@media (forced-colors: active) {
  .status { border: 1px solid } .band { outline: 1px solid CanvasText } .band i { border-right-color: CanvasText }
  i.conforms { forced-color-adjust: none; background: color-mix(in srgb, CanvasText calc(var(--share) * 60%), Canvas) }
  .band .over-limit { forced-color-adjust: none; background: CanvasText; color: Canvas } .band .in-guard-band { outline: 3px double CanvasText; outline-offset: -3px }
  .band .not-settled { outline: 2px dotted CanvasText } .band .no-limit { outline: 1px solid CanvasText; outline-offset: -1px } .band .not-read { outline: 2px dashed CanvasText }
}
`
