// Connections: what every one of them has, and the words that describe it.
import type { builder } from './builder.ts'
import { isCounted } from './counted.ts'

/**
 * Options of a connection of `plural` things, such as `pages('Vessel', 'vessels')`: spread them behind the field's own
 * options, which must have `totalCount`.
 */
export function pages(kind: string, plural: string) {
  return [
    connectionOptions(kind, plural),
    { name: `${kind}Edge`, description: `One of the ${plural} of a page.` },
  ] as const
}

function connectionOptions(kind: string, plural: string) {
  return {
    name: `${kind}Connection`,
    description: `A page of ${plural}.`,
    fields: (t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, object>) => ({
      totalCount: t.int({
        description: `How many ${plural} there are over all pages.`,
        extensions: { pothosPrismaTotalCount: true },
        resolve: (page) => {
          if (!isCounted(page)) return 0
          return typeof page.totalCount === 'number' ? page.totalCount : page.totalCount()
        },
      }),
    }),
  }
}
