/** The little of the package that the local stack uses; it brings no types of its own. */
declare module 'oidc-provider' {
  import type { RequestListener } from 'node:http'

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

  export interface Client {
    readonly clientId: string
  }

  export interface AccessToken {
    resourceServer: object
    save(): Promise<string>
  }

  export interface IdToken {
    set(claim: string, value: unknown): void
    issue(use: { use: 'idtoken' }): Promise<string>
  }

  export default class Provider {
    constructor(issuer: string, configuration: object)
    callback(): RequestListener
    readonly Client: { find(id: string): Promise<Client | undefined> }
    readonly AccessToken: new (
      payload: object,
    ) => AccessToken
    readonly ResourceServer: new (
      identifier: string,
      data: object,
    ) => object
    readonly IdToken: new (
      available: object,
      context: { client: Client },
    ) => IdToken
  }
}
