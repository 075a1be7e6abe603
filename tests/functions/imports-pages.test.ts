/** The pages of spreadsheets: from the choice of a kind to what changed, with what is asked and wrong in between. */
import { beforeEach, describe, expect, test } from 'vitest'
import { fileKey, goOn } from '../../functions/import/import.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { typedForm, typedOver } from '../support/typed-form.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

let house: House
let site: ReturnType<typeof pagesOf>
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
  site = pagesOf(house)
})

const plain = (markup: string) => markup.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ')
const page = async (path: string, headers = {}) => (await site.request(path, { headers })).text()

async function post(path: string, fields: string | URLSearchParams): Promise<string> {
  const headers = { 'content-type': 'application/x-www-form-urlencoded' }
  const answer = await site.request(path, { method: 'POST', headers, body: fields.toString() })
  expect(answer.status).toBe(303)
  return answer.headers.get('location') ?? ''
}

/** Begins an import and answers its page. */
const begun = async (kind: string) => (await post('/imports', `kind=${kind}`)).replace('?done=recorded', '')
const idOf = (path: string) => path.split('/').at(-1) ?? ''

/** The file comes to the bucket, and the queue has it read. */
async function comes(path: string, text?: string): Promise<void> {
  const named = { organisation: demo, id: idOf(path) }
  if (text !== undefined) house.files.set(fileKey(named), new TextEncoder().encode(text))
  const bucket = {
    get: async (key: string) => house.files.get(key) ?? new Uint8Array(),
    put: async (key: string, bytes: Uint8Array) => house.files.set(key, bytes),
  }
  await goOn({ table: house.table, clock: house.clock, feedsUrl: '', bucket }, named, () => true)
}

test('a file goes from the choice of its kind to the bucket by a signed form, and back to its page', async () => {
  const list = await page('/imports')
  expect(list).toContain('No file was sent yet.')
  expect([...list.matchAll(/<option value="([^"]+)"/g)].map(([, kind]) => kind)).toEqual([
    'sticks',
    'bench-tests',
    'uses',
    'moves',
    'people',
    'crews',
    'instruments',
  ])
  const path = await begun('sticks')
  const answer = await site.request(path)
  expect(answer.headers.get('content-security-policy')).toContain(
    "form-action 'self' https://s3.us-east-1.amazonaws.com;",
  )
  const markup = await answer.text()
  expect(markup).toContain('action="https://s3.us-east-1.amazonaws.com/uploads" enctype="multipart/form-data"')
  const fields = Object.fromEntries(typedForm(markup))
  expect(fields).toMatchObject({
    key: `files/${demo}/${idOf(path)}`,
    success_action_redirect: `https://pages.example${path}`,
  })
  expect(markup.indexOf('name="X-Amz-Signature"')).toBeLessThan(markup.indexOf('type="file"'))
  // the bucket leads back here before the file was looked at
  const there = await page(`${path}?bucket=uploads&key=x`)
  expect(there).toMatch(/role="status" data-looks-again="\/imports\/[^"]+"><p>is being checked: The file is being read/)
  expect(await page('/imports')).toContain(`href="${path}"`)
})

test('what is asked is answered column by column, and what is wrong stands by row and heading', async () => {
  const path = await begun('sticks')
  await comes(path, 'Pole,Construction,L,Dia,Primary\nS-50,FRP rod,8,32,yes\nS-51,plastic,8,32,yes\n')
  const asked = await page(path)
  expect(plain(asked)).toContain('No column was found for: Stick number, Working length.')
  expect(plain(asked)).toContain('The number on the stick, as it stands there')
  expect(asked).toMatch(/<tr><th scope="row">Pole<\/th><td data-label="First rows">S-50 · S-51<\/td>/)
  const columns = typedOver(typedForm(asked), { 'column-0': 'stickId', 'column-2': 'workingLengthMetres' })
  await post(`${path}/reading`, new URLSearchParams(columns))
  await comes(path)
  const units = await page(path)
  expect(plain(units)).toContain('In what is “Working length” given, as in 8?')
  const answers = typedOver(typedForm(units), { 'unit-workingLengthMetres': 'ft', 'unit-diameterMillimetres': 'mm' })
  await post(`${path}/reading`, new URLSearchParams(answers))
  await comes(path)
  const checked = await page(path)
  expect(plain(checked)).toContain('1 new 0 changed 0 recorded already 0 wait for a second person 1 wrong')
  expect(plain(checked)).toContain('3 Construction Construction: It says plastic. One of these is right here: FRP rod,')
  expect(plain(checked)).toContain('Take in the 1 good row, and hand back the others')
  await post(`${path}/apply`, new URLSearchParams(typedForm(checked)))
  const applying = await page(path)
  expect(applying).toContain('role="status"')
  await comes(path)
  const applied = await page(path)
  expect(plain(applied)).toContain('What changed')
  expect(applied).toMatch(
    /<a href="https:\/\/s3\.us-east-1\.amazonaws\.com\/uploads\/rest\/[^"]+X-Amz-Signature=[^"]+" download>/,
  )
  expect((await house.call('GET', '/v1/sticks/S-50')).json.status).toBe('awaiting first test')
  // a page that was left open shows what became of it
  expect(await post(`${path}/apply`, 'goodOnly=yes')).toBe(`${path}?done=recorded`)
  expect(await post(`${path}/reading`, 'dates=day+first')).toBe(path)
})

test('progress is told as far as it has come, in what a browser draws it with', async () => {
  const path = await begun('uses')
  const named = { organisation: demo, id: idOf(path) }
  const rows = Array.from({ length: 250 }, (_, i) => `S-${i},2026-02-01,1`)
  house.files.set(fileKey(named), new TextEncoder().encode(`Stick,Date,Days\n${rows.join('\n')}`))
  let turns = 0
  const bucket = { get: async (key: string) => house.files.get(key) ?? new Uint8Array(), put: async () => undefined }
  await goOn({ table: house.table, clock: house.clock, feedsUrl: '', bucket }, named, () => turns++ < 1)
  const markup = await page(path)
  expect(markup).toContain('<progress aria-label="is being checked" max="250" value="100">')
  expect(plain(markup)).toContain('Row 100 of 250')
})

describe('in Spanish', () => {
  test('a page asks, and a file that is none is refused, in the reader’s words', async () => {
    const headers = { 'accept-language': 'es' }
    const path = await begun('uses')
    await comes(path, 'Stick,Date\nS-1,03/04/2026\n')
    expect(plain(await page(path, headers))).toContain('¿Cómo están escritas las fechas, por ejemplo 03/04/2026?')
    const other = await begun('uses')
    await comes(other, 'Stick,Date\n"S-1,2026')
    expect(plain(await page(other, headers))).toContain(
      'Unas comillas que se abren en la fila 2 o después no se cierran nunca.',
    )
  })
})

test('marks in headings and cells stand on the page as text', async () => {
  const path = await begun('uses')
  await comes(path, '<b onclick=x>,Date\n<i>S-1</i>,03/04/2026\n')
  const markup = await page(path)
  expect(markup).toContain('&lt;b onclick=x&gt;')
  expect(markup).toContain('&lt;i&gt;S-1&lt;/i&gt;')
  expect(markup).not.toMatch(/<b onclick|<i>S-1/)
})

test.each(['sticks', 'uses', 'moves', 'people', 'crews', 'instruments'])(
  'the template of %s is taken in as it is',
  async (kind) => {
    const answer = await site.request(`/imports/templates/${kind}`)
    expect(answer.headers.get('content-disposition')).toBe(`attachment; filename="${kind}.csv"`)
    const text = new TextDecoder('utf-8', { ignoreBOM: true }).decode(await answer.arrayBuffer())
    const path = await begun(kind)
    if (kind === 'uses' || kind === 'moves') {
      await house.done('PUT', '/v1/sticks/S-0001', { ...aStick, effectiveFrom: '2026-01-01' })
      const tested = aTest({ testedOn: day('2026-01-02') })
      await house.done('POST', '/v1/sticks/S-0001/bench-tests', tested, 'bench')
    }
    await comes(path, text)
    const { state, faults, questions } = (await house.call('GET', `/v1/imports/${idOf(path)}`)).json
    expect([state, questions, faults]).toEqual(['checked', [], []])
  },
)
