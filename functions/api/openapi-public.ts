/**
 * The doors that take no token, as the document tells them. Two of them belong to other functions, at the same host.
 */
import { ours, wrong } from './openapi-answers.ts'
import { inPath } from './openapi-parameters.ts'

const page = (description: string) => ({ description, content: { 'text/html': { schema: { type: 'string' } } } })

const confirmation = (operationId: string, summary: string, good: string) => ({
  operationId,
  tags: ['public'],
  summary,
  description: 'For whoever has the link: the signature in it stands for a token.',
  security: [],
  responses: {
    200: page(good),
    403: page('Whom the notice was written to has left: nothing was recorded.'),
    404: page('The link is not as it was sent.'),
    409: page('The notice is confirmed already.'),
    410: page('The time to confirm is over.'),
    500: page('Something failed on our side: nothing was recorded.'),
  },
})

export const publicTag = {
  name: 'public',
  description:
    'Doors that take no token: the link of a mail, the calendar feed behind its secret address, this document.',
}

export const publicPaths = {
  '/answers/{organisation}/{number}/{until}/{signature}': {
    parameters: ['organisation', 'number', 'until', 'signature'].map(inPath),
    get: confirmation(
      'showConfirmation',
      'The page behind the link of a notice, with one button; opening it confirms nothing',
      'The notice in a line, with the button.',
    ),
    post: confirmation('confirmNotice', 'Confirm that a notice was read: what the button sends', 'It is recorded.'),
  },
  '/feeds/{file}': {
    parameters: [inPath('file')],
    get: {
      operationId: 'getCalendar',
      tags: ['public'],
      summary: 'The due dates of the sticks of a crew as a calendar (RFC 5545)',
      description: 'For whoever has the address: the secret in it stands for a token, until the feed is revoked.',
      security: [],
      responses: {
        200: { description: 'The calendar.', content: { 'text/calendar': { schema: { type: 'string' } } } },
        404: { description: 'No feed has this address, or it was revoked.', content: ours },
        500: wrong.failed,
      },
    },
  },
  '/v1/openapi.json': {
    get: {
      operationId: 'getContract',
      tags: ['public'],
      summary: 'This document',
      description: 'For anybody.',
      security: [],
      responses: {
        200: {
          description: 'An OpenAPI document.',
          content: { 'application/json': { schema: { type: 'object', additionalProperties: true } } },
        },
        405: wrong.notDoneHere,
      },
    },
  },
}
