/** A year of the fleet, and what its tests teach: for managers of their depots' sticks, for owners of all. */
import * as z from 'zod'
import { expecting } from '../../shared-domain/fault.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { type Request, type Route, route } from './request.ts'

const share = /^0\.\d{1,4}$/

const adviceQuery = z.lazy(() =>
  z.strictObject({
    depot: registerId.optional(),
    target: z
      .string()
      .regex(share, expecting({ is: 'right: a share', least: 0.5, most: 0.9999 }))
      .refine((text) => Number(text) >= 0.5, expecting({ is: 'right: a share', least: 0.5, most: 0.9999 }))
      .optional(),
  }),
)

const reportQuery = z.lazy(() =>
  z.strictObject({
    depot: registerId.optional(),
    year: z
      .string()
      .regex(/^(19[89]\d|[2-9]\d{3})$/, expecting({ is: 'right: a whole number from', from: 1980, to: 9999 }))
      .optional(),
  }),
)

export const fleetRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/fleet/advice',
    summary:
      'How many sticks reach the end of their interval, by construction, lot, service class and depot, whether the ' +
      'interval fits the target, and lots that fail more often than the rest. Advice: no due date moves by it',
    action: 'read the fleet',
    query: adviceQuery,
    answer: 'fleet advice',
    handle: advice,
  }),
  route({
    method: 'GET',
    path: '/v1/fleet/report',
    summary:
      'A year of the fleet, this one up to today unless another is asked for: sticks, tests and what they came to, ' +
      'causes, ages, days overdue, and how long until holds were confirmed',
    action: 'read the fleet',
    query: reportQuery,
    answer: 'fleet report',
    handle: report,
  }),
]

/** The code that counts a fleet and shows it, loaded with the first who asks. */
const counting = () => Promise.all([import('../questions/fleet.ts'), import('./fleet-view.ts')])

async function advice(request: Request) {
  const [{ adviceFor, usualTarget }, { adviceView }] = await counting()
  const { target = usualTarget, depot: depotId } = request.query
  return { status: 200, body: adviceView(await adviceFor(request, { depotId, target: Number(target) })) }
}

async function report(request: Request) {
  const [{ yearFor }, { reportView }] = await counting()
  const { year, depot: depotId } = request.query
  const asked = { depotId, year: year === undefined ? undefined : Number(year) }
  return { status: 200, body: reportView(await yearFor(request, asked)) }
}
