/** Permissions of the roles of the template, decided from their synthesised policies as IAM would. */
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

export function permissionsOf(deployed: Deployed): Permissions {
  const policies = new Map(
    deployed
      .all('AWS::IAM::Role')
      .map((role) => [deployed.arn(role.id), policiesOf(role.name, role.properties, deployed)]),
  )
  const known = new Map<string, Promise<boolean>>()

  function allowed(roleArn: string, permission: Permission): Promise<boolean> {
    const key = `${roleArn} ${permission.action} ${permission.resource}`
    const before = known.get(key)
    if (before !== undefined) return before
    const role = { principal: roleArn, accountId: deployed.account, identityPolicies: policies.get(roleArn) ?? [] }
    const decision = decide(role, permission)
    known.set(key, decision)
    return decision
  }

  async function missing(roleArn: string, needed: readonly Permission[]): Promise<Permission | undefined> {
    for (const permission of needed) if (!(await allowed(roleArn, permission))) return permission
    return undefined
  }

  return { missing }
}

interface Policy {
  readonly name: string
  readonly policy: Properties
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

async function decide(
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
