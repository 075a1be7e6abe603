/**
 * The environment is read here alone, once, when a function starts. The check does without zod: a function that opens
 * no door to bodies starts quicker so.
 */
export const tableEnvironment = () => asked('TABLE_NAME')
export const apiEnvironment = () =>
  asked(
    'TABLE_NAME',
    'FEEDS_URL',
    'ORIGIN_URL',
    'UPLOADS_BUCKET',
    'REQUESTS_PER_SECOND',
    'TOKEN_CLIENTS',
    'TOKEN_SCOPE',
    'TOKEN_CLAIMS',
  )
export const feedEnvironment = () => asked('TABLE_NAME', 'MAIL_FROM')
export const mailEnvironment = () =>
  asked('TABLE_NAME', 'MAIL_FROM', 'MAIL_REPLY_TO', 'MAIL_CONFIGURATION_SET', 'PAGES_URL', 'ANSWERS_URL')
export const journalEnvironment = () => asked('TABLE_NAME', 'JOURNAL_BUCKET', 'NAMES_BUCKET')
/** The bucket, and by what its forms and links are signed: the variables that the runtime itself puts there. */
export const uploadsEnvironment = () => {
  const names = ['UPLOADS_BUCKET', 'AWS_REGION', 'AWS_ACCESS_KEY_ID', 'AWS_SECRET_ACCESS_KEY'] as const
  const given = asked(...names)
  return {
    bucket: given.UPLOADS_BUCKET,
    region: given.AWS_REGION,
    keyId: given.AWS_ACCESS_KEY_ID,
    secret: given.AWS_SECRET_ACCESS_KEY,
    sessionToken: process.env.AWS_SESSION_TOKEN,
    endpoint: process.env.AWS_ENDPOINT_URL_S3,
  }
}
export const importEnvironment = () => asked('TABLE_NAME', 'UPLOADS_BUCKET', 'FEEDS_URL')
export const accountsEnvironment = () => asked('TABLE_NAME', 'POOL_ID')
export const queuesEnvironment = () => ({
  ...asked('URGENT_QUEUE_URL', 'OTHERS_QUEUE_URL', 'UNDELIVERED_QUEUE_URL', 'JOURNAL_QUEUE_URL', 'SEQUENCE_QUEUE_URL'),
  ...asked('IMPORTS_QUEUE_URL', 'PLANS_QUEUE_URL'),
  /** none where people sign in at a provider of the employer's */
  ACCOUNTS_QUEUE_URL: process.env.ACCOUNTS_QUEUE_URL,
})
export const pagesEnvironment = () => ({
  ...asked('TABLE_NAME', 'FEEDS_URL', 'UPLOADS_BUCKET', 'ORIGIN_URL', 'REQUESTS_PER_SECOND', 'SEAL_NOW', 'SEAL_BEFORE'),
  ...asked('ISSUER_URL', 'SIGN_IN_CLIENT', 'SIGN_IN_SCOPE', 'SIGN_IN_CLAIMS'),
  /** none where the provider answers for a second factor by itself */
  POOL_REGION: process.env.POOL_REGION,
})

/** @throws what is wanting or is no URL where its name says so, all of it at once */
function asked<Name extends string>(...names: readonly Name[]): Readonly<Record<Name, string>> {
  const values = names.map((name) => [name, process.env[name] ?? ''] as const)
  const wrong = values.filter(([name, value]) => (name.endsWith('_URL') ? !URL.canParse(value) : value === ''))
  if (wrong.length === 0) return Object.fromEntries(values) as Record<Name, string>
  const told = wrong.map(([name, value]) => `${name} is ${value === '' ? 'missing' : `no URL: ${value}`}`)
  throw new Error(`the environment does not fit: ${told.join('; ')}`)
}
