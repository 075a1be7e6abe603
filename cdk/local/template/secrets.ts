/** Values of the template's secrets, in the place of Secrets Manager: made by chance, and kept with the other data. */
import { randomBytes } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** The value of the secret with this ARN. */
export type Secrets = (arn: string) => string

/** Without a folder nothing is kept. */
export function secretsIn(folder: string | undefined): Secrets {
  const file = folder === undefined ? undefined : join(folder, 'secrets.json')
  const known: Record<string, string> =
    file !== undefined && existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : {}
  return (arn) => {
    const value = known[arn] ?? randomBytes(32).toString('hex')
    if (known[arn] === undefined && file !== undefined) {
      writeFileSync(file, JSON.stringify({ ...known, [arn]: value }), { mode: 0o600 })
    }
    known[arn] = value
    return value
  }
}

/** A dynamic reference of CloudFormation to the whole text of a secret. */
const reference = /\{\{resolve:secretsmanager:(arn:[\w:/.-]+?):SecretString:::?\}\}/g

export const withSecrets = (text: string, secrets: Secrets): string =>
  text.replaceAll(reference, (_, arn: string) => secrets(arn))
