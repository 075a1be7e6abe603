/** What is said of a stick beside the truck, with no script: three taps, of any stick, and the answer to it. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { defectKinds, useConditions } from '../../shared-domain/words.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aStick, aTest } from '../support/trade.ts'
import { typedForm, typedOver } from '../support/typed-form.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse()
  await furnish(first)
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  const sections = ['tip', 'base'].map((name) => ({ name, lengthMetres: 1.2 }))
  await first.done('PUT', '/v1/sticks/TELE', { ...aStick, sections })
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ at: '08:00' }))
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T16:00:00.000Z')
})

const open = async (path: string, who: Who = 'crew') => {
  const answer = await pagesOf(house, who).request(path)
  return { status: answer.status, text: await answer.text(), to: answer.headers.get('location') ?? '' }
}
/** The form as it is shown, and what of it a tap changes. */
async function tap(path: string, typed: Record<string, string>, who: Who = 'crew') {
  const form = typedForm((await open(path, who)).text)
  const answer = await pagesOf(house, who).request(path, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(typedOver(form, typed)).toString(),
  })
  const to = answer.headers.get('location') ?? ''
  return { status: answer.status, to, text: await answer.text(), said: to === '' ? '' : (await open(to, who)).text }
}
const factsOf = async (stick: string) => (await house.done('GET', `/v1/sticks/${stick}/facts`)).json.items
const statusOf = async (stick: string) => (await house.done('GET', `/v1/sticks/${stick}`)).json.status
const textOf = (markup: string) =>
  markup
    .replace(/<style.*?<\/style>/gs, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ')

describe('danger', () => {
  test('is a tile of each kind with a picture and its word', async () => {
    const { text } = await open('/sticks/S-1/report')
    for (const kind of defectKinds)
      expect(text).toMatch(
        new RegExp(
          `<label class="tile"><input type="radio" name="/kind" value="${kind}"[^>]*> <svg .*?</svg><span>[^<]+</span>`,
        ),
      )
    const pictures = new Set([...text.matchAll(/<label class="tile">.*?(<svg.*?<\/svg>)/gs)].map(([, svg]) => svg))
    expect(pictures.size).toBe(defectKinds.length)
  })

  test('holds the stick with two taps, and the answer says what follows and who is told', async () => {
    const { status, said } = await tap('/sticks/S-1/report', { '/kind': 'tingle' })
    expect(status).toBe(303)
    expect(await statusOf('S-1')).toBe('on hold')
    const text = textOf(said)
    expect(text).toMatch(/Do not use it .*Reported from use: tingle\. .*bring it to North yard/)
    expect(text).toMatch(/on the way to [^.]*Bo Lind \(foreman\)/)
    expect(text).toMatch(/on the way to [^.]*Mia Okafor \(manager\)/)
    expect(text).toContain('face to face, since they have no e-mail: Kai Brandt')
  })

  test('is pointed to on a drawing of the stick, and its history says where', async () => {
    const { text } = await open('/sticks/S-1/report')
    expect(text.match(/<label class="part">/g)).toHaveLength(6)
    const place = JSON.stringify({ fromMetres: 0.8, toMetres: 1.2 })
    expect(text.replaceAll('&quot;', '"')).toContain(`value="${place}"`)
    await tap('/sticks/S-1/report', { '/kind': 'crack', '/place': place })
    const [reported] = (await factsOf('S-1')).filter((one: { kind: string }) => one.kind === 'defect reported')
    expect(reported.defect.place).toEqual({ fromMetres: 0.8, toMetres: 1.2 })
    expect(textOf((await open('/sticks/S-1')).text)).toContain(
      'Reported from use: crack, 0.8 to 1.2 m from the working end',
    )
  })

  test('on a telescoping stick is pointed to by its sections', async () => {
    const { text } = await open('/sticks/TELE/report')
    expect(text.match(/<label class="part">/g)).toHaveLength(6)
    expect(text.replaceAll('&quot;', '"')).toContain('{"fromMetres":0,"toMetres":0.4,"section":"base"}')
  })

  test('on a stick of another crew is taken, and tells neither its length nor its readers', async () => {
    const { text } = await open('/sticks/S-1/report', 'other crew')
    expect(text).not.toMatch(/fromMetres/)
    expect(text.replaceAll('&quot;', '"')).toContain('{"part":"middle"}')
    const { said } = await tap('/sticks/S-1/report', { '/kind': 'tingle', '/place': '{"part":"middle"}' }, 'other crew')
    expect(await statusOf('S-1')).toBe('on hold')
    expect(textOf(said)).toMatch(/Do not use it .*the people who must know are told/)
    expect(said).not.toMatch(/Bo Lind|Mia Okafor|Kai Brandt|North yard/)
    expect(textOf((await open('/sticks/S-1')).text)).toContain('Reported from use: tingle, in the middle')
  })

  test('to whoever may not see it a stick that is and one that is not look alike', async () => {
    const [there, nowhere] = await Promise.all(
      ['S-1', 'X-9'].map(async (stick) => (await open(`/sticks/${stick}/report`, 'other crew')).text),
    )
    const alike = (text = '') => text.replace(/S-1|X-9|value="[0-9a-f-]{36}"|nonce="[^"]*"/g, '')
    expect(alike(there)).toBe(alike(nowhere))
  })

  test('on a number that no stick has is kept, and the managers find out which is meant', async () => {
    const { to, said } = await tap('/sticks/X-9/report', { '/kind': 'burn' })
    expect(to).toContain('done=waits')
    expect(textOf(said)).toMatch(/Do not use it No stick has this number/)
    expect((await house.done('GET', '/v1/unplaced-reports')).json.items).toHaveLength(1)
  })

  test('sent twice is one fact', async () => {
    const form = typedOver(typedForm((await open('/sticks/S-1/report')).text), { '/kind': 'drop' })
    for (const _ of ['sent', 'sent again'])
      await pagesOf(house, 'crew').request('/sticks/S-1/report', {
        method: 'POST',
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
        body: new URLSearchParams(form).toString(),
      })
    const reports = (await factsOf('S-1')).filter(({ kind }: { kind: string }) => kind === 'defect reported')
    expect(reports).toHaveLength(1)
  })
})

describe('missing and found', () => {
  test.each(['missing', 'found'])('%s is chosen already by the way there, and sent with one more tap', async (to) => {
    const { status, said } = await tap(`/sticks/S-1/missing?to=${to}`, {})
    expect(status).toBe(303)
    const [moved] = (await factsOf('S-1')).filter(({ kind }: { kind: string }) => kind === 'moved')
    expect(moved.move.to).toBe(to)
    expect(await statusOf('S-1')).toBe('on hold')
    expect(textOf(said)).toMatch(/Do not use it/)
    expect(textOf(said)).toMatch(/on the way to/)
  })
})

describe('a look', () => {
  test('that found nothing is recorded with one tap, under the name of whoever looked, at this hour', async () => {
    const { said } = await tap('/sticks/S-1/look', {})
    const [checked] = (await factsOf('S-1')).filter(({ kind }: { kind: string }) => kind === 'condition checked')
    expect(checked).toMatchObject({ at: '10:00', check: { by: 'Ana Ferro', sound: true } })
    expect(textOf(said)).toMatch(/Use it through 2 March 2028 .*Nobody has to be told/)
  })

  test('frees nothing that must not be used', async () => {
    await tap('/sticks/S-1/report', { '/kind': 'tingle' })
    const { said } = await tap('/sticks/S-1/look', {})
    expect(await statusOf('S-1')).toBe('on hold')
    expect(textOf(said)).toContain('Do not use it')
  })

  test('is not taken of a stick of another crew', async () => {
    expect((await open('/sticks/S-1/look', 'other crew')).status).toBe(403)
  })
})

describe('a use', () => {
  test('has a button for each of its conditions, and one for none', async () => {
    const { text } = await open('/sticks/S-1/use')
    const values = [...text.matchAll(/<button class="tile" name="\/conditions" value="([^"]*)">/g)].map(
      ([, one]) => one,
    )
    expect(values).toEqual(['', ...useConditions])
  })

  test.each(['', 'wet'])('with the condition "%s" is one tap', async (condition) => {
    const { status } = await tap('/sticks/S-1/use', { '/conditions': condition })
    expect(status).toBe(303)
    const [used] = (await factsOf('S-1')).filter(({ kind }: { kind: string }) => kind === 'used')
    expect(used.use).toMatchObject({ days: 1, conditions: condition === '' ? [] : [condition] })
  })

  test('of a stick that must not be used is kept, and whoever is told of it is named', async () => {
    await tap('/sticks/S-1/report', { '/kind': 'tingle' })
    house.at('2026-03-02T16:30:00.000Z')
    const { said } = await tap('/sticks/S-1/use', { '/conditions': '' })
    expect(textOf(said)).toMatch(/Do not use it .*on the way to [^.]*Bo Lind/)
  })
})

describe('by number', () => {
  const ids = { lower: 's-1', odd: 'no such/number', id: randomUUID() }

  test('leads to the stick, in capitals or not, and with one tap to the report', async () => {
    expect((await open(`/say?stick=${ids.lower}&what=report`)).to).toBe('/sticks/S-1/report')
    expect((await open(`/say?stick=${ids.lower}`)).to).toBe('/sticks/S-1/say')
    expect((await open(`/say?stick=${ids.id}`)).to).toBe(`/sticks/${ids.id}/say`)
  })

  test('that no stick can have is asked for again, and kept', async () => {
    const { status, text } = await open(`/say?stick=${encodeURIComponent(ids.odd)}`)
    expect([status, text]).toEqual([200, expect.stringContaining(`value="${ids.odd}"`)])
    expect(text).toContain('role="alert"')
  })

  test('offers of one’s own stick all there is to say, of any other what is wrong with it', async () => {
    const tiles = (text: string) =>
      [...text.matchAll(/<a class="tile" href="\/sticks\/S-1\/([^"]*)"/g)].map(([, path]) => path)
    expect(tiles((await open('/sticks/S-1/say')).text)).toEqual([
      ...['report', 'missing?to=missing', 'missing?to=found', 'look', 'use'],
    ])
    const { text } = await open('/sticks/S-1/say', 'other crew')
    expect(tiles(text)).toEqual(['report', 'missing?to=missing', 'missing?to=found'])
    expect(text).not.toContain('North yard')
  })
})
