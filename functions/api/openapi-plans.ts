/** What is asked for and made behind the request, as the API's document names it: plans of benches, and files. */
import { ofExports, ofImports } from './openapi-imports.ts'

const ofPlans = {
  name: 'plans',
  description:
    'Which stick comes to the bench in which week, and the hours by which that is planned. A plan supports whoever ' +
    'calls sticks in; it moves no due date.',
  operations: {
    askForPlan: 'POST /v1/plans',
    getPlan: 'GET /v1/plans/:id',
    putBench: 'PUT /v1/depots/:id/bench',
    getBench: 'GET /v1/depots/:id/bench',
  },
} as const

export const madeBehind = [ofPlans, ofImports, ofExports] as const
