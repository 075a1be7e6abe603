/**
 * `npm run first-owner -- --organisation X --name N --email E --table NAME [--endpoint URL] [--pool ID]`: enters the
 * first owner of an organisation, and makes them at the pool where one is named. The operator's own credentials are
 * used.
 */
import { systemClock } from '../ground/clock.ts'
import { end } from '../ground/command-line.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { openPool } from '../web/pool.ts'
import { enterFirstOwner, flagFaults, type NotEntered, whyNoOwner } from './first-owner.ts'

const { table, textOf, ...tableNamed } = tableByFlags(
  {
    command: 'npm run first-owner -- --organisation X --name N --email E [--pool ID]',
    purpose:
      'Enters the first owner of an organisation, who then signs in and enters everybody else. Once an organisation.',
  },
  {
    usage: {
      organisation: '--organisation X  a name of letters, digits, dots, hyphens or underscores',
      name: '--name N          the name of the owner',
      email: '--email E         the mail address by which the owner signs in',
      pool: '--pool ID         the user pool of the service: the owner is made there, and is mailed a first password',
    },
    faults: (given) => flagFaults(named(given)),
  },
)

function named(given: (flag: string) => string | undefined) {
  const [organisation, name, email] = [given('organisation'), given('name'), given('email')]
  return {
    ...(organisation === undefined ? {} : { organisation }),
    ...(name === undefined ? {} : { name }),
    ...(email === undefined ? {} : { email }),
  }
}

const because: { readonly [why in NotEntered]: string } = {
  'there are people already':
    'This organisation has people already, and so this was done before. An owner enters other owners. Nothing was ' +
    'changed.',
  'the address is another organisation’s':
    'This address belongs to another organisation. Take another one. Nothing was changed.',
}

const one = { organisation: '', name: '', email: '', ...named(textOf) }
const pool = textOf('pool')
await onTable(tableNamed, async () => {
  const not = await whyNoOwner(table, one, systemClock())
  if (not !== undefined) return end(1, because[not])
  // the pool comes first: what fails there leaves no entry behind, and the same command may be given again
  const made = pool === undefined ? undefined : await (await openPool(pool)).make(one.email)
  const entered = await enterFirstOwner(table, one, systemClock())
  if (entered !== 'entered') return end(1, because[entered])
  console.log(`${one.name} owns ${one.organisation} now, and signs in as ${one.email}.`)
  if (made === 'made') console.log('The first password is on its way by mail.')
  if (made === 'known') console.log('The pool knew the address already: the password is the one from before.')
})
