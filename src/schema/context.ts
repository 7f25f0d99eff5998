// What every resolver of the schema gets for one request: the database, the clock, and who is asking.
import type { Clock } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import { Forbidden, Unauthenticated } from '../errors.ts'
import { authenticate, type Caller } from '../resolvers/access/authenticate.ts'
import type { Actor } from '../resolvers/actor.ts'
import type { Scope } from '../scopes.ts'

/** What the server has for all requests. */
export interface Services {
  client: PrismaClient
  clock: Clock
}

export class Context {
  readonly services: Services
  readonly #caller: Caller | undefined

  constructor(services: Services, caller: Caller | undefined) {
    this.services = services
    this.#caller = caller
  }

  get client(): PrismaClient {
    return this.services.client
  }

  /** Who is asking. Throws `Unauthenticated` where the request shows no key. */
  get caller(): Caller {
    if (!this.#caller) throw new Unauthenticated('KEY_MISSING')
    return this.#caller
  }

  get distributorId(): string {
    return this.caller.distributorId
  }

  /** What use-cases take as their first argument. */
  get actor(): Actor {
    return { client: this.services.client, clock: this.services.clock, distributorId: this.distributorId }
  }

  /** Throws `Forbidden` where the key lacks the scope, `Unauthenticated` where there is no key. */
  require(scope: Scope): true {
    if (!this.caller.scopes.has(scope)) throw new Forbidden(scope)
    return true
  }
}

/** The context of a request. Throws `Unauthenticated` where it shows a key that is not good. */
export async function contextOf(services: Services, request: Request): Promise<Context> {
  const key = keyOf(request.headers)
  if (key === undefined) return new Context(services, undefined)
  const caller = await authenticate(services.client, key)
  if (!caller) throw new Unauthenticated('KEY_UNKNOWN')
  return new Context(services, caller)
}

/** The key from `Authorization: Bearer <key>` or `x-api-key: <key>`; undefined where there is neither. */
function keyOf(headers: Headers): string | undefined {
  const authorization = headers.get('authorization')
  if (authorization) return /^bearer +(\S+) *$/i.exec(authorization)?.[1] ?? ''
  return headers.get('x-api-key') ?? undefined
}
