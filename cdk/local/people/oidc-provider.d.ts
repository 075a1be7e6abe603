/** The little of the package that the local stack uses; it brings no types of its own. */
declare module 'oidc-provider' {
  import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http'

  export interface AdapterPayload {
    uid?: string
    userCode?: string
    grantId?: string
    consumed?: number
  }

  export interface Adapter {
    upsert(id: string, payload: AdapterPayload, expiresIn: number): Promise<void>
    find(id: string): Promise<AdapterPayload | undefined>
    findByUid(uid: string): Promise<AdapterPayload | undefined>
    findByUserCode(userCode: string): Promise<AdapterPayload | undefined>
    consume(id: string): Promise<void>
    destroy(id: string): Promise<void>
    revokeByGrantId(grantId: string): Promise<void>
  }

  export interface Grant {
    addOIDCScope(scope: string): void
    addResourceScope(resource: string, scope: string): void
    save(): Promise<string>
  }

  export default class Provider {
    constructor(issuer: string, configuration: object)
    callback(): RequestListener
    readonly Grant: new (of: {
      clientId: string
      accountId: string
    }) => Grant
    interactionFinished(request: IncomingMessage, response: ServerResponse, result: object): Promise<void>
  }
}
