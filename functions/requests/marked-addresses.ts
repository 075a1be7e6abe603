/**
 * Addresses that mail came back from or whose readers complained: nothing is sent there until a manager clears the
 * mark.
 */
import * as z from 'zod'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { line } from '../../shared-domain/text.ts'
import { notFound, Refused } from '../ground/errors.ts'
import { type MarkedAddress, markedAddressesFor } from '../questions/addresses.ts'
import { addressMarkOf, clearMark } from '../store/marked-addresses.ts'
import { cut, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

const clearing = z.lazy(() => z.strictObject({ email: mailAddress, reason: line(400) }))

export const markedAddressRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/marked-addresses',
    summary: 'The addresses to which nothing is sent, since mail to them came back or was reported as unwanted',
    action: 'keep addresses',
    answer: 'list of mark',
    query: pageQuery,
    handle: async (request) => {
      const items = await markedAddressesFor(request)
      return { status: 200, body: cut({ items, keyOf: ({ email }) => email, show: shown }, request.query) }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/marked-addresses/clear',
    summary: 'Clear the mark on an address, with the reason: from now on mail is sent there again',
    action: 'keep addresses',
    body: clearing,
    answer: 'mark',
    handle: clear,
  }),
]

async function clear({ organisation, caller, body, now }: Request<z.output<typeof clearing>>) {
  const mark = await addressMarkOf(organisation, body.email)
  if (mark === undefined) throw notFound({ is: 'none: mark', address: body.email })
  const cleared = await clearMark(organisation, mark, { personId: caller.personId, now, reason: body.reason })
  if (cleared === 'lost') throw new Refused({ kind: 'try again' })
  return { status: 200, body: shown(cleared) }
}

function shown({ email, since, why, trouble, notice, clearedAt, clearedBy, clearedFor }: MarkedAddress) {
  return { email, since, why, trouble, notice, clearedAt, clearedBy, clearedFor }
}
