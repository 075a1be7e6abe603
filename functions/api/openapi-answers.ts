/** What answers hold as the document tells it, and those that go wrong, once for all operations. */
import { type AnswerName, answerSchema } from '../requests/answer-schemas.ts'
import { type NamedSchemas, schemaOf } from './openapi-schema.ts'

/** The types of answers that are files. @lintignore tests hold answers to them */
export const typesOfFiles: { readonly [answer in AnswerName]?: readonly string[] } = {
  'proof folder': ['application/zip'],
  paper: ['application/pdf'],
  spreadsheet: ['text/csv', 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'],
}

/** Bytes are described by their type alone (OpenAPI 3.1, "Considerations for File Uploads"). */
export const shownAs = (answer: AnswerName, named: NamedSchemas): object =>
  typesOfFiles[answer] !== undefined
    ? Object.fromEntries(typesOfFiles[answer].map((type) => [type, {}]))
    : { 'application/json': { schema: schemaOf(answerSchema(answer), 'output', named) } }

const responseRef = (name: string) => ({ $ref: `#/components/responses/${name}` })

export const wrong = {
  malformed: responseRef('Malformed'),
  noToken: responseRef('NoToken'),
  notAllowed: responseRef('NotAllowed'),
  notFound: responseRef('NotFound'),
  notDoneHere: responseRef('NotDoneHere'),
  refused: responseRef('Refused'),
  tooLarge: responseRef('TooLarge'),
  faulty: responseRef('Faulty'),
  tooMany: responseRef('TooMany'),
  failed: responseRef('Failed'),
  tryAgain: responseRef('TryAgain'),
}

export const ours = { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } }
const gateways = { 'application/json': { schema: { $ref: '#/components/schemas/GatewayMessage' } } }

/** The gateway stands before the API, and says what it refuses in a form of its own. */
export const gatewayMessage = { type: 'object', properties: { message: { type: 'string' } }, required: ['message'] }

export const wrongAnswers = {
  Malformed: { description: 'The body is not JSON in UTF-8.', content: ours },
  NoToken: {
    description:
      'No valid token: the gateway before the API answers this in a form of its own. A token for another use, one ' +
      'from before its person signed out everywhere, and one of a person who has ended are refused by the API.',
    content: { ...ours, ...gateways },
  },
  NotAllowed: {
    description:
      'Not allowed to this caller in their own organisation, or the caller has to sign in on a page once; `detail` ' +
      'says which. A token without the scope of this API is refused by the gateway before it.',
    content: { ...ours, ...gateways },
  },
  NotFound: { description: 'Nothing of this name exists; `detail` says what was looked for.', content: ours },
  NotDoneHere: {
    description: 'Another method was sent to this address; the header `Allow` names those that it takes.',
    headers: { Allow: { description: 'The methods of this address.', required: true, schema: { type: 'string' } } },
    content: ours,
  },
  Refused: { description: 'Refused by the rules; `reasons` says why.', content: ours },
  TooLarge: { description: 'The body, or the entry that it makes, is too large to be kept.', content: ours },
  Faulty: {
    description:
      'Faults of the path, the query or the body; `errors` names each with its place and what would be right.',
    content: ours,
  },
  TooMany: {
    description:
      'Too many calls at a time: wait, then send the same again. The gateway before the API answers this for all ' +
      'organisations together; the API does for one that would leave no turn to others, and says in `Retry-After` ' +
      'how many seconds to wait. Reports of danger have a share of their own.',
    headers: { 'Retry-After': { description: 'Seconds to wait, where the API says so.', schema: { type: 'integer' } } },
    content: { ...ours, ...gateways },
  },
  Failed: {
    description: 'Something failed on our side, or in the gateway before the API: send the same request again.',
    content: { ...ours, ...gateways },
  },
  TryAgain: {
    description:
      'Others were writing at the same time and nothing was written, the records do not answer, or the gateway found ' +
      'no API: send the same request again.',
    content: { ...ours, ...gateways },
  },
}

/**
 * Operations that have one good answer whatever they find: those that only ask or decide, and the one that always
 * makes.
 */
export const onlyAnswer: Readonly<Record<string, 200 | 201 | 202>> = {
  previewPolicy: 200,
  previewProcedure: 200,
  approveProposal: 200,
  declineProposal: 200,
  approveCorrection: 200,
  askWhatWouldFollow: 200,
  clearMarkedAddress: 200,
  revokeFeed: 200,
  askThatPastTestsCount: 202,
  makeFeed: 201,
  sendImport: 201,
  sayReadingOfImport: 200,
  applyImport: 200,
  askForPlan: 202,
}
