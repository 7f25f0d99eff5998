// Tables over HTTP for those whose key may read or write them: what the doors of `src/http` open.
import { Refusal } from './errors.ts'
import type { ExportsOptions } from './http/exports.ts'
import type { ImportsOptions } from './http/imports.ts'
import { keyOfBrowser } from './http/sheets.ts'
import { contextFor } from './request-context.ts'
import { encodeGlobalId } from './resolvers/global-id.ts'
import { importTable, isUnsettled, readTable, type TableResult } from './resolvers/tables/import-table.ts'
import { TABLE_IMPORTS } from './resolvers/tables/imports.ts'
import { TABLES } from './resolvers/tables/tables.ts'
import type { Context, Services } from './schema/context.ts'
import { costOfRows } from './schema/costs.ts'
import { refusalInWords } from './schema/imports/refusal-words.ts'

/** The tables that can be had. A table counts against what a key may ask for in a minute with each of its values. */
export function tablesToExport(services: Services): ExportsOptions {
  return {
    names: Object.keys(TABLES),
    onFault: services.onFault,
    open: async (request, name, parameters) => {
      // A browser sends its key as a password: tables are only read here.
      const context = await contextFor(services, request, keyOfBrowser(request.headers))
      const table = TABLES[name]
      if (!table) throw new Error(`there is no table ${name}`)
      if (table.scope === 'any') context.requireKey()
      else context.require(table.scope)
      const { values, text } = await context.reading(async () => {
        const actor = table.asksPlanner ? await context.askPlanner() : context.planningOnRead
        return table.open(actor, Object.fromEntries(parameters))
      })
      services.counts.of(request)?.charge(values)
      return text()
    },
  }
}

/** The tables that can be sent. Each of its rows counts like a line that is entered over the API. */
export function tablesToImport(services: Services): ImportsOptions {
  return {
    names: Object.keys(TABLE_IMPORTS),
    onFault: services.onFault,
    open: async (request, name) => {
      const context = await contextFor(services, request)
      const scope = TABLE_IMPORTS[name]?.scope
      if (!scope) throw new Error(`no table ${name} can be sent`)
      context.require(scope)
      const { distributorId, keyId, requiresIdempotencyKey: isRequired } = context.caller
      const { client, clock, counts, writers } = services
      return {
        asker: { client, clock, distributorId, keyId, isRequired },
        write: async (bytes) => {
          const table = await readTable(name, bytes)
          counts.of(request)?.charge(costOfRows(table.rows))
          const imported = await writers.run(distributorId, () => importTable(context.planning, name, table))
          const { revision, notRead } = imported
          const results = []
          for (const each of imported.results) results.push(await shown(context, each))
          return { answer: { revision, notRead, results }, isFinal: !isUnsettled(imported) }
        },
      }
    },
  }
}

/** What became of one thing, as callers see it. */
async function shown({ rows: names }: Context, { rows, externalRef, kind, became, issues }: TableResult) {
  const of = { rows, externalRef: externalRef ?? null }
  if (!(became instanceof Refusal)) {
    const { did: outcome, id, revision } = became
    return { ...of, outcome, entity: encodeGlobalId(kind, id), revision, errors: [] }
  }
  const { code, action } = became
  const error = { code, message: await refusalInWords(became, names), action, issues }
  return { ...of, outcome: 'REFUSED', entity: null, revision: null, errors: [error] }
}
