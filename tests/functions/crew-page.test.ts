/** The page of a crew: each stick with what to do by when, the worst first, and who has not heard. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  await first.done('PUT', '/v1/depots/DEP-1', {
    ...aDepot,
    address: '12 Mill Road',
    hours: 'Monday to Friday, 7 to 16',
  })
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  for (const stick of ['FIT', 'SOON', 'LATE', 'HELD', 'GONE', 'LENT', 'LOST', 'BENCH'])
    await first.done('PUT', `/v1/sticks/${stick}`, aStick)
  await first.done('PUT', '/v1/sticks/THEIRS', { ...aStick, crewId: 'CR-2' })
  const tests = { FIT: '2026-03-02', SOON: '2024-03-20', LATE: '2024-02-10', LENT: '2026-03-01', THEIRS: '2026-03-01' }
  for (const [stick, testedOn] of Object.entries(tests))
    await first.done('POST', `/v1/sticks/${stick}/bench-tests`, aTest({ testedOn: day(testedOn) }))
  await first.done('POST', '/v1/sticks/HELD/defects', fact({ kind: 'tingle' }), 'crew')
  await first.done('POST', '/v1/sticks/GONE/removals', fact({ reason: 'its age' }))
  const loan = { lentTo: 'Neighbours', returnBy: '2026-03-10' }
  await first.done('POST', '/v1/sticks/LENT/moves', fact({ to: loan }))
  await first.done('POST', '/v1/sticks/LOST/moves', fact({ to: 'missing' }))
  await first.done('POST', '/v1/sticks/BENCH/moves', fact({ to: { bench: 'DEP-1' } }))
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T16:00:00.000Z')
})

const open = async (path = '/crew', who: Who = 'crew', headers: Record<string, string> = {}) => {
  const answer = await pagesOf(house, who).request(path, { headers })
  return { status: answer.status, text: await answer.text(), to: answer.headers.get('location') }
}
const textOf = (markup: string) =>
  markup
    .replace(/<style.*?<\/style>/gs, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ')
/** The line of a stick in the list, as it is read. */
const cardOf = (markup: string, stick: string) => {
  const [list = ''] = /<section class="sticks".*<\/section>/s.exec(markup) ?? []
  return textOf(list.split('<li ').find((one) => one.includes(`<h3><a href="/sticks/${stick}">`)) ?? '')
}

describe('the list', () => {
  test('has each stick of the crew once, the worst first, and none of another crew', async () => {
    const { text } = await open()
    const [list = ''] = /<section class="sticks".*<\/section>/s.exec(text) ?? []
    const sticks = [...list.matchAll(/<h3><a href="\/sticks\/([^"]+)"/g)].map(([, stick]) => stick)
    // S-1 was never tested; what was reported today is newer
    expect(sticks).toEqual(['HELD', 'S-1', 'GONE', 'LATE', 'SOON', 'LENT', 'LOST', 'FIT', 'BENCH'])
    expect(text).not.toContain('THEIRS')
  })

  test.each([
    ['HELD', /Do not use it .*Reported from use: tingle\. .*bring it to North yard, and give it to the bench there/],
    ['S-1', /Do not use it .*Tag it and bring it to North yard for its first test/],
    ['GONE', /Do not use it .*hand it in to the bench at North yard/],
    ['LATE', /Do not use it .*Its test ran out on 10 February 2026/],
    ['SOON', /Use it through 20 March 2026, and bring it to North yard by then in 18 days/],
    ['LENT', /Use it through 1 March 2028.* lent to Neighbours until 10 March 2026/],
    ['LOST', /Do not use it .*It is missing\. If you have it: tag it/],
    ['FIT', /Use it through 2 March 2028/],
    ['BENCH', /Do not use it .*It is at the bench, and stays there with its tag/],
  ])('says of %s what to do', async (stick, says) => {
    expect(cardOf((await open()).text, stick)).toMatch(says)
  })

  test('says once where to bring a stick, and when somebody is there', async () => {
    const { text } = await open()
    expect(textOf(text)).toContain('North yard 12 Mill Road Open: Monday to Friday, 7 to 16')
  })

  test('speaks the language of its reader', async () => {
    const { text } = await open('/crew', 'crew', { 'accept-language': 'es' })
    expect(cardOf(text, 'FIT')).toContain('Úsela hasta el 2 de marzo de 2028 inclusive')
    expect(cardOf(text, 'HELD')).toContain('No la use')
  })

  test('is as long as a phone can show, the worst first, with the way to the rest', async () => {
    for (const stick of Array.from({ length: 160 }, (_, i) => `M-${i}`))
      await house.done('PUT', `/v1/sticks/${stick}`, aStick)
    const { text } = await open()
    const [list = ''] = /<section class="sticks".*<\/section>/s.exec(text) ?? []
    expect(list.split('<h3>')).toHaveLength(151)
    expect(text).toMatch(/href="\/roster\?crew=CR-1">More sticks: 19</)
  })
})

describe('who opens it', () => {
  test('a crew begins there', async () => {
    expect((await open('/')).to).toBe('/crew')
    expect((await open('/', 'manager')).to).toBe('/roster')
  })

  test('a manager chooses a crew; nobody is shown one that is not theirs', async () => {
    expect((await open('/crew', 'manager')).text).toContain('<a href="/crew?crew=CR-1">Crew one</a>')
    expect(textOf((await open('/crew?crew=CR-1', 'manager')).text)).toContain('Sticks of Crew one')
    expect((await open('/crew', 'south manager')).text).not.toContain('CR-1')
    for (const who of ['other crew', 'south manager'] as const)
      expect((await open('/crew?crew=CR-1', who)).status).toBe(403)
    expect((await open('/crew?crew=NONE', 'manager')).status).toBe(404)
  })

  test('somebody of the bench is offered every crew of their depots', async () => {
    expect(textOf((await open('/crew', 'bench')).text)).toMatch(/Crew one Crew two/)
  })
})

describe('who has not heard', () => {
  const unheard = (markup: string) => textOf(/<section class="unheard".*?<\/section>/s.exec(markup)?.[0] ?? '')
  const hidden = (name: string) => `<input[^>]*value="(?<${name}>[^"]*)">`
  const form = new RegExp(`<form method="post" action="(?<action>[^"]*)"[^>]*>\\s*${hidden('name')}${hidden('phone')}`)
  const formOf = (markup: string) => form.exec(markup)?.groups
  const tap = (markup: string, who: Who) => {
    const { action = '', name = '', phone = '' } = formOf(/<section class="unheard".*/s.exec(markup)?.[0] ?? '') ?? {}
    return pagesOf(house, who).request(action.replaceAll('&amp;', '&'), {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams({ '/name': name, '/phone': phone }).toString(),
    })
  }

  test('is named by what must not be used, with a telephone for whoever has no e-mail', async () => {
    const { text } = await open()
    expect(unheard(text)).toMatch(/HELD Not confirmed as read by: Ana Ferro \(crew\) and Bo Lind \(foreman\)/)
    expect(text).toContain('href="tel:+15550100"')
    expect(unheard(text)).toContain('I told Kai Brandt')
  })

  test('is told with one tap, which is on record and leads back', async () => {
    const before = unheard((await open()).text).split('I told Kai Brandt').length
    const answer = await tap((await open()).text, 'crew')
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/crew?crew=CR-1&done=recorded'])
    const { text } = await open('/crew?crew=CR-1&done=recorded')
    expect(unheard(text).split('I told Kai Brandt')).toHaveLength(before - 1)
    expect(text).toMatch(/role="status"[^>]*>The notice shows who was told/)
  })

  test('is not recorded by somebody of another crew', async () => {
    const answer = await tap((await open()).text, 'other crew')
    expect(answer.status).toBe(403)
  })
})
