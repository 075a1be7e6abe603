/**
 * Every link of every kind of mail, in each language, leads to a page: of the pages by way of the sign-in, and then to
 * what the mail is about; of the answers to the button that confirms it, without a sign-in.
 */
import { beforeAll, describe, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { type Notice, noticeNumber, noticeWrite } from '../../functions/store/notices.ts'
import { noticeKinds } from '../../shared-domain/notices/notice.ts'
import { languages } from '../../shared-domain/words.ts'
import { messageOf } from '../support/mails.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick } from '../support/trade.ts'
import { everyNotice, recallId } from './every-notice.ts'
import { demo, furnish, openHouse } from './house.ts'

const site = 'https://pages.example'
const answers = 'https://answers.example'

const house = openHouse()
/** As they are kept, each in every language, with the links of its mail. */
const kept: (Notice & { readonly links: readonly string[] })[] = []
beforeAll(async () => {
  await furnish(house)
  for (const stick of ['S-2', 'S-3']) await house.done('PUT', `/v1/sticks/${stick}`, aStick)
  const lot = { factId: recallId, cause: { lot: 'L-NONE' }, reason: 'cracks at the ferrule' }
  await house.done('POST', '/v1/recalls', lot)
  const { table, keys, notices } = house.organisation()
  for (const language of languages)
    for (const one of everyNotice) {
      const owed = { ...one, key: `${one.key} in ${language}`, to: { ...one.to, language } }
      await table.transact([noticeWrite({ table, keys, name: demo }, owed, house.clock())])
      const found = await notices.one(noticeNumber({ table: {}, name: demo }, owed.key))
      if (found !== undefined) kept.push({ ...found, links: linksIn(found) })
    }
})

/** The links of the mail, as a page and as text. */
function linksIn(notice: Notice): string[] {
  const { html, text } = messageOf(notice, site, answers)
  const found = [...html.matchAll(/href="([^"]+)"/g), ...text.matchAll(/(https:\S+)/g)]
  return [...new Set(found.map(([, link = '']) => link.replaceAll('&amp;', '&')))]
}

const mailsOf = (kind: string, language: string) =>
  kept.filter((one) => one.kind === kind && one.to.language === language)

/** The addresses of ours to which mails of a kind lead, each once. */
const pathsOf = (kind: string, language: string) => [
  ...new Set(
    mailsOf(kind, language)
      .flatMap(({ links }) => links)
      .filter((link) => link.startsWith(`${site}/`))
      .map((link) => link.slice(site.length)),
  ),
]

test('there is a mail of every notice in every language, and holds are confirmed by a link', () => {
  expect(kept).toHaveLength(everyNotice.length * languages.length)
  const isConfirmed = ({ links }: (typeof kept)[number]) => links.some((link) => link.startsWith(answers))
  expect(new Set(kept.filter(isConfirmed).map((one) => one.kind))).toContain('hold')
})

describe.each(languages.flatMap((language) => noticeKinds.map((kind) => ({ kind, language }))))(
  'a mail of the kind $kind in the language $language',
  ({ kind, language }) => {
    test('has links to pages of ours, and none to anywhere else', () => {
      expect(mailsOf(kind, language).length).toBeGreaterThan(0)
      for (const one of mailsOf(kind, language)) {
        const origins = new Set(one.links.map((link) => new URL(link).origin))
        expect([one.key, origins.has(site), origins.size <= 2]).toEqual([one.key, true, true])
        expect([...origins].filter((origin) => origin !== site && origin !== answers)).toEqual([])
      }
    })

    test('leads whoever is not signed in to the sign-in, and from there back to the page', async () => {
      const pages = pagesOf(house, 'manager', { sessionOf: async () => null })
      for (const path of pathsOf(kind, language)) {
        const answer = await pages.request(path)
        expect([path, answer.status]).toEqual([path, 303])
        expect(answer.headers.get('location')).toBe(`/sign-in?${new URLSearchParams({ to: path })}`)
      }
    })

    test.each(['manager', 'owner', 'bench', 'crew'] as const)(
      'opens for %s, or says that it is not theirs',
      async (who) => {
        const pages = pagesOf(house, who)
        for (const path of pathsOf(kind, language)) {
          const mayNot =
            (path === '/proposals' && (who === 'bench' || who === 'crew')) ||
            (path.startsWith('/recalls/') && who === 'crew')
          expect([path, (await pages.request(path)).status]).toEqual([path, mayNot ? 403 : 200])
        }
      },
    )

    test('is confirmed by its link without a sign-in, where it has one', async () => {
      const app = buildAnswers({ table: house.table, clock: house.clock })
      for (const one of mailsOf(kind, language)) {
        const links = one.links.filter((link) => link.startsWith(answers))
        expect([one.key, links.length <= 1]).toEqual([one.key, true])
        for (const link of links) {
          const answer = await app.request(link.slice(answers.length))
          expect([link, answer.status, answer.headers.get('content-language')]).toEqual([link, 200, language])
        }
      }
    })
  },
)
