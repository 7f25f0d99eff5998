// Connections: what every one of them has, and the words that describe it.
import type { builder } from './builder.ts'

interface Counted {
  /** A list of its own counts when it is asked; the list of a thing is counted with the thing. */
  totalCount: number | (() => number | Promise<number>)
}

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

function isCounted(page: object): page is Counted {
  return 'totalCount' in page && ['number', 'function'].includes(typeof page.totalCount)
}
