/** The only place that reads the environment; parsed once, when a function starts. */
import * as z from 'zod'

// each made by whoever asks for it: a function that starts waits for no other's
const table = () => z.object({ TABLE_NAME: z.string().min(1) })

export const tableEnvironment = () => table().parse(process.env)
export const apiEnvironment = () => table().extend({ FEEDS_URL: z.url() }).parse(process.env)
export const feedEnvironment = () =>
  table()
    .extend({ MAIL_FROM: z.string().min(3) })
    .parse(process.env)
export const mailEnvironment = () =>
  table()
    .extend({
      MAIL_FROM: z.string().min(3),
      MAIL_CONFIGURATION_SET: z.string().min(1),
      PAGES_URL: z.url(),
      ANSWERS_URL: z.url(),
    })
    .parse(process.env)
export const queuesEnvironment = () =>
  z.object({ URGENT_QUEUE_URL: z.url(), OTHERS_QUEUE_URL: z.url(), UNDELIVERED_QUEUE_URL: z.url() }).parse(process.env)
export const pagesEnvironment = () =>
  table()
    .extend({ PAGES_ORGANISATION: z.string().min(1) })
    .parse(process.env)
