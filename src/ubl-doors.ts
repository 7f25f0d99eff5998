// Documents of UBL over HTTP for those whose key may send or read them: what the doors of `src/http/ubl.ts` open.
import { GraphQLError } from 'graphql'
import { NotPossible } from './errors.ts'
import type { UblOptions } from './http/ubl.ts'
import { contextFor } from './request-context.ts'
import { encodeGlobalId } from './resolvers/global-id.ts'
import { enterOrderDocument, readOrderDocument } from './resolvers/imports/import-ubl-order.ts'
import { notPossibleInWords } from './resolvers/orders/short-lines.ts'
import { listDespatchAdvices, readDespatchAdvice } from './resolvers/sheets/despatch-advices.ts'
import type { Context, Services } from './schema/context.ts'
import { costOfImport } from './schema/costs.ts'
import { MAX_BODY_BYTES } from './schema/limits.ts'
import { asDespatchAdvice } from './ubl/despatch-advice.ts'
import { reasonInNames } from './words/reason-words.ts'

/** Orders in and despatch advices out. An order counts against what a key may ask for in a minute like an import of the same. */
export function ublDoors(services: Services): UblOptions {
  const { client, clock, counts, onFault } = services
  return {
    ...{ onFault, mostBytes: MAX_BODY_BYTES },
    openImport: async (request, parameters) => {
      const context = await contextFor(services, request)
      context.require('orders:write')
      const { distributorId, keyId, requiresIdempotencyKey: isRequired } = context.caller
      const enter = async (document: Uint8Array) => {
        const read = await readOrderDocument(context.actor, document, Object.fromEntries(parameters))
        const { field = 0, multiplier = 1 } = costOfImport({ input: read.input })
        counts.of(request)?.charge(field * multiplier)
        const { id, did, ...entered } = await enterOrderDocument(context.planning, read).catch(inWords(context))
        return { ...entered, outcome: did, entity: encodeGlobalId('Order', id) }
      }
      return { asker: { client, clock, distributorId, keyId, isRequired }, enter }
    },
    openAdvices: async (request) => {
      const context = await contextFor(services, request)
      context.require('movements:read')
      const { revision, epoch } = context.caller.found
      return {
        tag: `${revision}.${epoch}`,
        document: async (name) => asDespatchAdvice(await readDespatchAdvice(context.actor, name)),
        list: (parameters) => listDespatchAdvices(context.actor, Object.fromEntries(parameters)),
      }
    },
  }
}

/** What cannot be served is refused in sentences: with the packs by their names, and with the rules that bind. */
function inWords({ rows }: Context) {
  return async (error: unknown): Promise<never> => {
    if (!(error instanceof NotPossible)) throw error
    const nameOf: Parameters<typeof reasonInNames>[1] = ({ kind, id }) => rows.nameOf(kind, id)
    const { code, kind, action } = error
    const reasons = await Promise.all(
      error.reasons.slice(0, 100).map(async (reason) => {
        const { rule, code: says, from, to } = reason
        return { rule, code: says, from, to, message: await reasonInNames(reason, nameOf) }
      }),
    )
    throw new GraphQLError(await notPossibleInWords(error, nameOf), { extensions: { code, kind, action, reasons } })
  }
}
