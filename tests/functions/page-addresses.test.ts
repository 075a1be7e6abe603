/**
 * What the pages answer to addresses that nobody made: never everything in place of nothing, and never a failure of
 * ours.
 */
import { beforeAll, expect, test } from 'vitest'
import { pagesOf } from '../support/pages.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
const pages = pagesOf(house)
beforeAll(() => furnish(house))

const page = async (address: string) => {
  const answer = await pages.request(address)
  return { status: answer.status, text: (await answer.text()).replace(/<style.*?<\/style>/s, '') }
}

test.each([
  ['/roster?status=lost', 'No such status is known'],
  ['/roster?depot=a%2Fb', 'No such depot is known'],
  [`/roster?crew=${'x'.repeat(3000)}`, 'No such crew is known'],
  [`/sticks/${'x'.repeat(3000)}`, 'Nothing of this name exists'],
  ['/roster?store=a%2Fb', 'No such depot is known'],
  [`/roster?lot=${'x'.repeat(65)}`, 'No such lot is known'],
  [`/roster?q=${'x'.repeat(3000)}`, 'No such stick is known'],
  ['/roster?lent=yes', 'Nothing of this name exists'],
  ['/roster?group=depot', 'Nothing of this name exists'],
  ['/roster.csv?status=lost', 'No such status is known'],
  ['/sticks/%ff', 'Nothing of this name exists'],
  ['/sticks/S-0', 'Nothing of this name exists'],
  [`/sticks/S-1/bench-tests/${'x'.repeat(3000)}`, 'Nothing of this name exists'],
  ['/roster?dueFrom=soon', 'No such date is known'],
  ['/outlook/year?year=soon', 'No such date is known'],
  ['/outlook/year?depot=DEP-0', 'Nothing of this name exists'],
  ['/outlook/year?year=2027', 'No such date is known'],
  ['/outlook?depot=a%2Fb', 'No such depot is known'],
  ['/outlook?depot=DEP-0', 'Nothing of this name exists'],
  ['/instruments/INS-0', 'Nothing of this name exists'],
  [`/instruments/${'x'.repeat(3000)}`, 'Nothing of this name exists'],
])('%s says so: %s', async (address, words) => {
  const { status, text } = await page(address)
  expect([status, text.includes(`<h1>${words}</h1>`), text.length < 4_000]).toEqual([404, true, true])
})

test.each([
  ['/notices?to=nonsense', 'No such address is known'],
  ['/notices?to=a@b.123', 'No such address is known'],
  ['/notices?stick=a%20b', 'No stick is called “a b”.'],
  ['/notices?stick=S-0', 'No stick is called “S-0”.'],
  [`/notices?stick=${'x'.repeat(3000)}`, `No stick is called “${'x'.repeat(64)}”.`],
  ['/notices?crew=%00', 'No such crew is known'],
  ['/notices?crew=CR-0', 'No such crew is known'],
  ['/notices?person=*', 'No such person is known'],
  ['/notices?person=nobody', 'No such person is known'],
  ['/notices?since=yesterday', 'No such date is known'],
])('%s says so above its form, and lists nothing: %s', async (address, words) => {
  const { status, text } = await page(address)
  expect(status).toBe(200)
  const [said, form] = [text.indexOf(`<p class="said">${words}`), text.indexOf('<form class="filter"')]
  expect(said).toBeGreaterThan(-1)
  expect(form).toBeGreaterThan(said)
  expect(text).not.toContain('<tbody')
})

test.each([
  '/notices',
  '/outlook?depot=&after=nonsense&back=,',
  '/instruments?after=INS-77',
  `/instruments/INS-1?after=${'x'.repeat(3000)}`,
  '/notices?stick=&crew=&person=',
  '/notices?to=nobody@crew.example',
  '/roster?status=&depot=&crew=&store=&lot=&lent=&group=&q=+',
  `/roster?before=${encodeURIComponent(`overdue|2026-03-02#${'x'.repeat(3000)}`)}`,
  `/roster?after=${encodeURIComponent(`overdue|2026-03-02#${'x'.repeat(3000)}`)}`,
  '/sticks/S-1',
])('%s is a page, since a choice left empty is none', async (address) => {
  expect((await page(address)).status).toBe(200)
})
