/** Names that other programs call operations by, by subject: a change of a path renames no generated function. */
import { ofFacts } from './openapi-fact-operations.ts'
import { ofPeople } from './openapi-people.ts'
import { madeBehind } from './openapi-plans.ts'
import { ofRecalls } from './openapi-recalls.ts'
import { readAlone } from './openapi-reports.ts'

export interface TopicOfRoutes {
  readonly name: string
  readonly description: string
  /** the method and the path of each operation, by its operationId */
  readonly operations: Readonly<Record<string, string>>
}

const register = (one: string, path: string) => ({
  [`put${one}`]: `PUT /v1/${path}/:id`,
  [`get${one}`]: `GET /v1/${path}/:id`,
  [`list${one}s`]: `GET /v1/${path}`,
})

export const subjects: readonly TopicOfRoutes[] = [
  {
    name: 'organisation',
    description: 'The organisation itself: which rule packs bind where it works.',
    operations: register('Organisation', 'organisations'),
  },
  {
    name: 'registers',
    description: 'Depots, crews, instruments, procedures and demonstrations. Every PUT adds an edition; none is lost.',
    operations: {
      ...register('Depot', 'depots'),
      ...register('Crew', 'crews'),
      ...register('Instrument', 'instruments'),
      listChecksOfInstrument: 'GET /v1/instruments/:id/checks',
      listTestsWithInstrument: 'GET /v1/instruments/:id/tests',
      ...register('Procedure', 'procedures'),
      listSticksOverProcedure: 'GET /v1/procedures/:id/over',
      previewProcedure: 'POST /v1/procedures/:id/preview',
      ...register('Demonstration', 'demonstrations'),
    },
  },
  {
    name: 'people',
    description: 'People of the organisation, their roles, and from when until when they count.',
    operations: ofPeople,
  },
  {
    name: 'policies',
    description: 'The rule packs that ship, the employer’s own layer, and what a change of it would make due.',
    operations: {
      listPolicies: 'GET /v1/policies',
      putPolicy: 'PUT /v1/policies/:id',
      previewPolicy: 'POST /v1/policies/:id/preview',
    },
  },
  {
    name: 'proposals',
    description: 'Edits that would loosen: they wait for a second person, who approves or declines them.',
    operations: {
      listProposals: 'GET /v1/proposals',
      approveProposal: 'POST /v1/proposals/:id/approve',
      declineProposal: 'POST /v1/proposals/:id/decline',
    },
  },
  ofRecalls,
  {
    name: 'sticks',
    description: 'Sticks: their entries, where they stand on a date, their history, the roster, and the weeks ahead.',
    operations: {
      putStick: 'PUT /v1/sticks/:id',
      getStick: 'GET /v1/sticks/:id',
      listFactsOfStick: 'GET /v1/sticks/:id/facts',
      getRoster: 'GET /v1/roster',
      getOutlook: 'GET /v1/outlook',
    },
  },
  ...readAlone,
  {
    name: 'facts',
    description:
      'What happens to a stick, bench tests among it. A fact has a UUID of the caller as its factId: sent again it ' +
      'is recorded once.',
    operations: {
      recordBenchTest: 'POST /v1/sticks/:id/bench-tests',
      getBenchTest: 'GET /v1/sticks/:id/bench-tests/:factId',
      judgeBenchTestAgain: 'POST /v1/sticks/:id/bench-tests/:factId/judgements',
      ...ofFacts,
      askWhatWouldFollow: 'POST /v1/sticks/:id/what-if',
      listUnplacedReports: 'GET /v1/unplaced-reports',
      placeReport: 'POST /v1/unplaced-reports/:factId/place',
    },
  },
  {
    name: 'corrections',
    description: 'Slips put right: withdrawn, replaced, or moved to the stick that they were about.',
    operations: { correct: 'POST /v1/corrections', approveCorrection: 'POST /v1/corrections/:factId/approvals' },
  },
  {
    name: 'notices',
    description: 'What was told to whom, what became of it, and the addresses to which nothing is sent.',
    operations: {
      listNotices: 'GET /v1/notices',
      recordToldInPerson: 'POST /v1/notices/:id/told',
      remind: 'POST /v1/reminders',
      listMarkedAddresses: 'GET /v1/marked-addresses',
      clearMarkedAddress: 'POST /v1/marked-addresses/clear',
    },
  },
  ...madeBehind,
  {
    name: 'feeds',
    description: 'Calendar feeds of the due dates of a crew.',
    operations: {
      makeFeed: 'POST /v1/crews/:id/feeds',
      listFeeds: 'GET /v1/crews/:id/feeds',
      revokeFeed: 'POST /v1/crews/:id/feeds/:feedId/revoke',
    },
  },
]
