// Tables over HTTP for those whose key may read them: what the doors of `src/http` open.
import type { ExportsOptions } from './http/exports.ts'
import { keyOfBrowser } from './http/sheets.ts'
import { contextFor } from './request-context.ts'
import { TABLES } from './resolvers/tables/tables.ts'
import type { Services } from './schema/context.ts'

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
        await context.askPlanner()
        return table.open(context.planningOnRead, Object.fromEntries(parameters))
      })
      services.counts.of(request)?.charge(values)
      return text()
    },
  }
}
