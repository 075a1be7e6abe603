/**
 * Tells which grants of the template no stack of the last run has used: the end of `npm run test:all`. A grant is one
 * action on one resource of one role. Whatever nobody used is in the table below with its reason, or is too much.
 */
import { existsSync, globSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { localParameters } from '../../cdk/local/stack.ts'
import { isAllowed, type Policy, policiesByRole, type UsedGrant } from '../../cdk/local/table/permissions.ts'
import { root, synthesise } from '../../cdk/local/template/synthesise.ts'
import { readTemplate } from '../../cdk/local/template/template.ts'

/** Stacks of a run keep here what their roles were allowed; `tests/build-once.ts` names it to them. */
export const usedGrantsFolder = join(root, 'reports/used-grants')

/** Grants that only AWS itself uses, so that no local journey can: the action, and what uses it. */
const usedByAws: Readonly<Record<string, string>> = {
  'logs:CreateLogStream': 'Lambda opens the stream of each running function',
  'logs:PutLogEvents': 'Lambda writes what the function logs',
  'cloudwatch:DescribeAlarms':
    'CodeDeploy looks at the alarms that move an alias back; here each function has one version',
  'lambda:GetAlias': 'CodeDeploy moves an alias from version to version',
  'lambda:UpdateAlias': 'CodeDeploy moves an alias from version to version',
  'lambda:GetProvisionedConcurrencyConfig': 'CodeDeploy asks before it moves an alias',
}

/** Grants that a function needs only where another was ended half-way: the role, what it asks, and when. */
const usedAfterAnEnd: readonly { readonly role: RegExp; readonly resource: RegExp; readonly when: string }[] = [
  {
    role: /ReindexDoor/,
    resource: /index\/by-lot$/,
    when: 'whoever opened a recall of a lot was cut off before all was written (functions/recalls.test.ts)',
  },
]

const isUsedAfterAnEnd = (grant: Grant) =>
  usedAfterAnEnd.some(({ role, resource }) => role.test(grant.role) && resource.test(grant.resource))

interface Grant {
  readonly role: string
  readonly policy: string
  readonly action: string
  readonly resource: string
}

const list = <T>(one: T | readonly T[]): readonly T[] => (Array.isArray(one) ? one : [one as T])

function grantsOf(role: string, policies: readonly Policy[]): Grant[] {
  return policies.flatMap(({ name, policy }) =>
    list<{ Effect: string; Action: string | string[]; Resource: string | string[] }>(policy.Statement)
      .filter(({ Effect }) => Effect === 'Allow')
      .flatMap(({ Action, Resource }) =>
        list(Action).flatMap((action) =>
          list(Resource).map((resource) => ({ role, policy: name, action, resource: String(resource) })),
        ),
      ),
  )
}

function readUsed(): UsedGrant[] {
  if (!existsSync(usedGrantsFolder)) return []
  const lines = globSync(join(usedGrantsFolder, '*.jsonl')).flatMap((file) => readFileSync(file, 'utf8').split('\n'))
  return [...new Set(lines)].filter((line) => line !== '').map((line) => JSON.parse(line))
}

/** Whether this grant alone would have allowed what was used. */
function allows({ role, policy, action, resource }: Grant, used: UsedGrant, accountId: string): Promise<boolean> {
  const Statement = [{ Effect: 'Allow', Action: action, Resource: resource }]
  const identityPolicies = [{ name: policy, policy: { Version: '2012-10-17', Statement } }]
  return isAllowed({ principal: role, accountId, identityPolicies }, used)
}

/** The grants that neither a stack used nor AWS uses. */
export async function unusedGrants(templateFolder: string, used: readonly UsedGrant[]): Promise<Grant[]> {
  const deployed = readTemplate(templateFolder, { parameters: localParameters, apiEndpoint: 'https://api.example' })
  const grants = [...policiesByRole(deployed)].flatMap(([role, policies]) => grantsOf(role, policies))
  const unused: Grant[] = []
  for (const grant of grants.filter((one) => usedByAws[one.action] === undefined && !isUsedAfterAnEnd(one))) {
    const near = used.filter(({ role, action }) => role === grant.role && action === grant.action)
    const answers = await Promise.all(near.map((one) => allows(grant, one, deployed.account)))
    if (!answers.includes(true)) unused.push(grant)
  }
  return unused
}

if (import.meta.main) {
  const used = readUsed()
  if (used.length === 0) throw new Error('no stack has run with its grants kept: run `npm run test:all`')
  const product = await synthesise()
  try {
    const unused = await unusedGrants(product.folder, used)
    for (const { role, action, resource } of unused) console.error(`nobody used ${action} on ${resource} of ${role}`)
    if (unused.length > 0) process.exitCode = 1
    else console.log(`Every grant was used by a stack, or is used by AWS itself (${used.length} uses looked at).`)
  } finally {
    product.remove()
  }
}
