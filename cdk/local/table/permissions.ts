/** Permissions of the roles of the template, decided from their synthesised policies as IAM would. */
import { appendFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { runSimulation } from '@cloud-copilot/iam-simulate'
import type { Deployed, Properties } from '../template/template.ts'

export interface Permission {
  readonly action: string
  readonly resource: string
}

export interface Permissions {
  /** the first of `needed` that the role does not have */
  readonly missing: (roleArn: string, needed: readonly Permission[]) => Promise<Permission | undefined>
}

/** A folder that keeps what roles were allowed, for whoever asks which grants were used. */
const usedFolder = process.env.QUARTERTURN_USED_GRANTS

/** Decisions by role and its policies: a process may run many stacks of one template, one after the other. */
const decisions = new Map<string, Map<string, Promise<boolean>>>()

export function permissionsOf(deployed: Deployed): Permissions {
  const judges = new Map(
    [...policiesByRole(deployed)].map(([role, policies]) => [role, judgeOf(role, policies, deployed.account)]),
  )
  const allowed = async (roleArn: string, permission: Permission) => (await judges.get(roleArn)?.(permission)) ?? false

  async function missing(roleArn: string, needed: readonly Permission[]): Promise<Permission | undefined> {
    for (const permission of needed) if (!(await allowed(roleArn, permission))) return permission
    return undefined
  }

  return { missing }
}

function judgeOf(principal: string, identityPolicies: Policy[], accountId: string) {
  const name = JSON.stringify([principal, identityPolicies])
  const known = decisions.get(name) ?? new Map<string, Promise<boolean>>()
  decisions.set(name, known)
  const alike = alikeIn(identityPolicies)
  return (permission: Permission): Promise<boolean> => {
    const key = `${permission.action} ${alike(permission.resource)}`
    const before = known.get(key)
    if (before !== undefined) return before
    const decision = isAllowed({ principal, accountId, identityPolicies }, permission)
    known.set(key, decision)
    return decision.then((may) => {
      if (may) keepUsed({ role: principal, ...permission })
      return may
    })
  }
}

/**
 * What tells a resource from others for a role: the names in its policies that match it. Resources that the same names
 * match are decided alike, so that not each object of a bucket is decided anew, which costs ten milliseconds.
 */
function alikeIn(policies: readonly Policy[]): (resource: string) => string {
  const text = JSON.stringify(policies)
  // conditions and variables may tell two resources apart that the same names match
  if (text.includes('"Condition"') || text.includes('${')) return (resource) => resource
  const names = policies
    .flatMap(({ policy }) => [policy.Statement].flat())
    .flatMap(({ Resource = [], NotResource = [] }) => [Resource, NotResource].flat().map(String))
  const patterns = [...new Set(names)].map((name) => [name, asPattern(name)] as const)
  return (resource) => {
    const matching = patterns.filter(([, pattern]) => pattern.test(resource)).map(([name]) => name)
    return matching.length === 0 ? resource : matching.join(' ')
  }
}

/** A name with its * and ? as IAM reads them. */
const asPattern = (name: string): RegExp =>
  new RegExp(
    `^${name
      .replaceAll(/[\\^$.|+()[\]{}]/g, '\\$&')
      .replaceAll('*', '.*')
      .replaceAll('?', '.')}$`,
    's',
  )

/** Something that a role was allowed while a stack ran. */
export interface UsedGrant extends Permission {
  readonly role: string
}

function keepUsed(used: UsedGrant): void {
  if (usedFolder === undefined) return
  mkdirSync(usedFolder, { recursive: true })
  appendFileSync(join(usedFolder, `${process.pid}.jsonl`), `${JSON.stringify(used)}\n`)
}

export interface Policy {
  readonly name: string
  readonly policy: Properties
}

/** The policies of each role of the template, by the role's ARN. */
export function policiesByRole(deployed: Deployed): Map<string, Policy[]> {
  const roles = deployed.all('AWS::IAM::Role')
  return new Map(roles.map((role) => [deployed.arn(role.id), policiesOf(role.name, role.properties, deployed)]))
}

function policiesOf(roleName: string, role: Properties, deployed: Deployed): Policy[] {
  if ((role.ManagedPolicyArns ?? []).length > 0) {
    throw new Error(`${roleName} has managed policies, whose text is not in the template: write its grants out`)
  }
  const inline = (role.Policies ?? []).map(({ PolicyName, PolicyDocument }: Properties) => ({
    name: PolicyName,
    policy: PolicyDocument,
  }))
  const attached = deployed
    .all('AWS::IAM::Policy')
    .filter(({ properties }) => properties.Roles?.includes(roleName))
    .map(({ name, properties }) => ({ name, policy: properties.PolicyDocument }))
  return [...inline, ...attached]
}

interface Role {
  readonly principal: string
  readonly accountId: string
  readonly identityPolicies: Policy[]
}

/** Whether a role with these policies may do that, as IAM decides. */
export async function isAllowed(
  { principal, accountId, identityPolicies }: Role,
  { action, resource }: Permission,
): Promise<boolean> {
  const result = await runSimulation(
    {
      request: { principal, action, resource: { resource, accountId }, contextVariables: {} },
      identityPolicies,
      serviceControlPolicies: [],
      resourceControlPolicies: [],
    },
    {},
  )
  if (result.resultType === 'error') throw new Error(`${action} on ${resource}: ${JSON.stringify(result.errors)}`)
  return result.overallResult === 'Allowed'
}
