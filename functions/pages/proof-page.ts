/** The page in the folder of a proof: all that was recorded of a stick, to be read without the service. */
import { html, raw } from 'hono/html'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { toldTest } from '../questions/accounts.ts'
import type { Asker } from '../questions/asker.ts'
import type { Proved } from '../questions/proof.ts'
import type { Markup } from '../web/web-page.ts'
import { stylesheet } from './layout.ts'
import { struckOr } from './stick-page.ts'
import { allReasons, verdictLine } from './test-page.ts'
import { testRecord } from './test-record.ts'
import type { PageWording } from './wording.ts'
import { date, moment, type Names, placeOn, statusMark, whyOf } from './words.ts'

interface Around {
  readonly names: Names
  readonly organisation: Asker['organisation']
}

export async function proofPage(
  proved: Proved,
  { names, organisation }: Around,
  wording: PageWording,
): Promise<string> {
  const { proof, found } = proved
  const { stickId } = proof
  const { say, language } = wording
  const title = say('proof title', { stick: stickId })
  const taken = { organisation: proof.organisation, stick: stickId, when: moment(proof.takenAt, found.zone, wording) }
  const main = html`<h1>${title}</h1>
<p class="lead">${say('proof of', taken)}</p>
${proof.on === null ? '' : html`<p>${say('proof on', { on: proof.on })}</p>`}
${proof.asKnownOn === null ? '' : html`<p>${say('proof as known', { on: proof.asKnownOn })}</p>`}
<p>${say('proof what it shows')}</p>
${howItStood(proved, wording)}
<h2>${say('proof all records')}</h2>
${recordTable(proved, names, wording)}
${await tests(proved, organisation, wording)}
${fingerprints(proved, wording)}
<h2>${say('proof how to check')}</h2>
<p>${say('proof check')}</p>
<pre>node verify.mjs</pre>
<p>${say('proof compare')}</p>
<p>${say('safety')}</p>`
  // links of the service lead nowhere here; those to a test lead to its part of this page
  const plain = String(await main)
    .replaceAll(/href="[^"]*\/bench-tests\/([^"/]+)"/g, 'href="#$1"')
    .replaceAll(/ href="\/[^"]*"/g, '')
  return String(
    await html`<!doctype html>
<html lang="${language}">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title><style>${raw(stylesheet)}</style></head>
<body><main>${raw(plain)}</main></body>
</html>
`,
  )
}

function howItStood({ found: { standing, day } }: Proved, wording: PageWording): Markup {
  const { say, hold: toSay } = wording
  const { status, dueOn, holds } = standing
  const due = isDated(status) && dueOn !== null ? say('proof due', { on: dueOn }) : ''
  const held = holds.map((hold) => html`<li>${toSay(hold).text}</li>`)
  const why = held.length === 0 ? html`<p>${whyOf(standing, wording)}</p>` : html`<ul class="reasons">${held}</ul>`
  return html`<h2>${say('proof how it stood', { on: day })}</h2>
<p class="lead">${statusMark(standing, wording)} ${due}</p>
${why}`
}

function recordTable({ proof, facts, found: { zone } }: Proved, names: Names, wording: PageWording): Markup {
  const { say } = wording
  const { stickId } = proof
  const slips = correctionsBySlip(facts)
  const places = new Map(proof.records.map(({ seq, index }) => [seq, index]))
  const telling = { names, stickId, facts, wording }
  const rows = inOrder(asJudgedNow(facts)).map(({ fact }) => {
    const place = places.get(fact.seq)
    const by = say('by whom and when', { who: fact.recordedBy, when: moment(fact.recordedAt, zone, wording) })
    const what = struckOr(fact, slips.get(fact.factId), telling)
    return html`<tr><td data-label="${say('proof number')}">${fact.seq}</td>
<td data-label="${say('day')}">${date(fact.occurredOn, wording)} ${fact.at ?? ''}</td>
<td data-label="${say('what happened')}">${what}</td>
<td data-label="${say('recorded in history')}">${by}</td>
<td data-label="${say('proof place in tree')}">${place ?? say('proof none yet')}</td></tr>`
  })
  const heads = [
    say('proof number'),
    say('day'),
    say('what happened'),
    say('recorded in history'),
    say('proof place in tree'),
  ]
  return html`<table class="cards"><thead><tr>${heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${rows}</tbody></table>`
}

/** Every test with its verdict, what it was judged by, and each reading; a slip too. */
async function tests({ facts, found }: Proved, organisation: Asker['organisation'], wording: PageWording) {
  const { standing, zone } = found
  const all: Markup[] = []
  for (const { fact } of inOrder(facts)) {
    if (fact.kind !== 'tested') continue
    const told = await toldTest(organisation, { facts, dueOn: standing.dueOn }, fact.factId)
    if (told === undefined) continue
    all.push(html`<section id="${fact.factId}"><h2>${wording.say('proof test of', { on: fact.occurredOn })}</h2>
${verdictLine(told, standing, wording)}
${allReasons(told, wording)}
${testRecord(told, zone, wording)}
${readings(fact.test, wording)}</section>`)
  }
  return all
}

function readings({ dry, wet }: BenchTest, { say }: PageWording): Markup | string {
  const all = [
    ...(dry?.readings ?? []).map((one) => ({ state: 'dry' as const, ...one })),
    ...(wet?.readings ?? []).map((one) => ({ state: 'wet' as const, ...one })),
  ]
  if (all.length === 0) return ''
  const rows = all.map((one) => {
    const read = say('proof microamps', { read: one.leakageMicroamps })
    return html`<tr><td>${placeOn(one, say)}</td><td class="reading">${read}</td></tr>`
  })
  return html`<table><thead><tr>
<th scope="col">${say('proof place')}</th><th scope="col">${say('proof reading')}</th>
</tr></thead><tbody>${rows}</tbody></table>`
}

function fingerprints({ proof: { days } }: Proved, wording: PageWording): Markup {
  const { say } = wording
  const rows = days.map(({ day: on, size: records, root }) => {
    const groups = root.match(/.{1,8}/g)?.join(' ') ?? root
    return html`<dt>${say('proof records then', { on, records })}</dt><dd><code>${groups}</code></dd>`
  })
  return html`<h2>${say('proof fingerprints')}</h2><p>${say('proof mailed')}</p><dl class="facts">${rows}</dl>`
}
