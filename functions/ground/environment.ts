/** The only place that reads the environment; parsed once, when a function starts. */
import * as z from 'zod'

const table = z.object({ TABLE_NAME: z.string().min(1) })
const mail = table.extend({
  MAIL_FROM: z.string().min(3),
  MAIL_CONFIGURATION_SET: z.string().min(1),
  PAGES_URL: z.url(),
  ANSWERS_URL: z.url(),
})

const api = table.extend({ FEEDS_URL: z.url() })
const feed = table.extend({ MAIL_FROM: z.string().min(3) })
const queues = z.object({ URGENT_QUEUE_URL: z.url(), OTHERS_QUEUE_URL: z.url(), UNDELIVERED_QUEUE_URL: z.url() })
const pages = table.extend({ PAGES_ORGANISATION: z.string().min(1) })

export const tableEnvironment = () => table.parse(process.env)
export const apiEnvironment = () => api.parse(process.env)
export const feedEnvironment = () => feed.parse(process.env)
export const mailEnvironment = () => mail.parse(process.env)
export const queuesEnvironment = () => queues.parse(process.env)
export const pagesEnvironment = () => pages.parse(process.env)
