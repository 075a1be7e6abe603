/** Every link of every kind of mail leads to a page: by way of the sign-in, and then to what the mail is about. */
import { beforeAll, describe, expect, test } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { type NoticeKind, noticeKinds } from '../../shared-domain/notices/notice.ts'
import { messageOf } from '../support/mails.ts'
import { pagesOf } from '../support/pages.ts'
import { day } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
beforeAll(() => furnish(house))

const site = 'https://pages.example'

const line = {
  stickId: 'S-1',
  crewId: 'CR-1',
  crewName: 'Crew one',
  status: 'on hold',
  dueOn: day('2026-02-28'),
  daysLeft: -2,
  bringTo: 'North yard',
  why: { is: 'why overdue', dueOn: '2026-02-28' },
  source: '29 CFR 1910.269(j)(2)(iii)',
  holds: [{ code: 'defect-reported', detail: { defect: 'tingle' } }],
} as const

function noticeOf(kind: NoticeKind): Notice {
  const about: Partial<{ readonly [kind in NoticeKind]: Partial<Notice> }> = {
    report: { report: { what: 'defect', defect: 'tingle', on: '2026-03-01', reportedBy: 'Ana Ferro' } },
    proposal: {
      lines: [],
      proposal: { id: 'P-1', kind: 'policy', entryId: 'employer', by: 'Mia Okafor', state: 'open', ways: [] },
    },
    calibration: { lines: [], calibration: { instrumentId: 'INS-1', through: day('2026-04-01'), daysLeft: 30 } },
    reminder: { reminder: { by: 'Mia Okafor', on: day('2026-03-02'), at: '09:40' } },
    invitation: {
      lines: [],
      invitation: { why: 'entered', organisation: 'demo-utility', role: 'crew', may: ['report danger'], depots: ['*'] },
    },
  }
  return {
    kind,
    key: `${kind}|S-1`,
    number: '2A3B-4C5D-6E7F',
    organisation: 'demo-utility',
    to: { name: 'Mia Okafor', email: 'manager@demo-utility.example', role: 'manager', tellInPerson: [] },
    day: day('2026-03-02'),
    owedAt: '2026-03-02T12:00:00.000Z' as Instant,
    state: 'owed',
    lines: [line],
    more: 3,
    ...about[kind],
  }
}

/** The links of the mail, as a page and as text. */
function linksIn(kind: NoticeKind): string[] {
  const { html, text } = messageOf(noticeOf(kind), site)
  const found = [...html.matchAll(/href="([^"]+)"/g), ...text.matchAll(/(https:\S+)/g)]
  return [...new Set(found.map(([, link = '']) => link))]
}

describe.each(noticeKinds)('a mail of the kind %s', (kind) => {
  test('has links, each to a page of ours', () => {
    const links = linksIn(kind)
    expect(links.length).toBeGreaterThan(0)
    for (const link of links) expect(new URL(link).origin).toBe(site)
  })

  test('leads whoever is not signed in to the sign-in, and from there back to the page', async () => {
    const pages = pagesOf(house, 'manager', { sessionOf: async () => null })
    for (const link of linksIn(kind)) {
      const path = link.slice(site.length)
      const answer = await pages.request(path)
      expect([link, answer.status]).toEqual([link, 303])
      expect(answer.headers.get('location')).toBe(`/sign-in?${new URLSearchParams({ to: path })}`)
    }
  })

  test.each(['manager', 'owner', 'bench', 'crew'] as const)(
    'opens for %s, or says that it is not theirs',
    async (who) => {
      const pages = pagesOf(house, who)
      for (const link of linksIn(kind)) {
        const path = link.slice(site.length)
        const mayNot = path === '/proposals' && (who === 'bench' || who === 'crew')
        expect([path, (await pages.request(path)).status]).toEqual([path, mayNot ? 403 : 200])
      }
    },
  )
})
