// The context of a request, and what is noted of who asks.
import { currentRequest } from './operations/request-scope.ts'
import { type Context, contextOf, type Services } from './schema/context.ts'

/** The context of a request; whatever is noted of the request names the key that it shows. */
export async function contextFor(services: Services, request: Request, shown?: string): Promise<Context> {
  const context = await contextOf(services, request, shown)
  const scope = currentRequest()
  if (scope && context.hasKey) {
    const { distributorId, keyId } = context.caller
    scope.caller = { distributorId, keyId }
  }
  return context
}
