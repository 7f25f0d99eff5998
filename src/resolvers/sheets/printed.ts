// Sheets as pages, by the names under which they are asked for over HTTP.

import { fillPage } from '../../print/fill-page.ts'
import { loadPage } from '../../print/load-page.ts'
import type { Page } from '../../print/page.ts'
import { removalsPage } from '../../print/removals-page.ts'
import { todayPage } from '../../print/today-page.ts'
import { readNames } from '../../records/names.ts'
import type { Scope } from '../../scopes.ts'
import type { Actor } from '../actor.ts'
import { readFillSheet } from './fill-sheet.ts'
import { readLoadSheet } from './load-sheet.ts'
import { readRemovals } from './removals.ts'
import { readToday } from './today.ts'

/** A sheet that can be printed: the scope that it needs, and how it is made. */
interface Printed {
  scope: Scope
  make: (actor: Actor, input: unknown) => Promise<{ revision: number; page: Page }>
}

/** By name; the parameters of each are those of the query of the same name. */
export const PRINTED: Readonly<Record<string, Printed>> = {
  today: {
    scope: 'plan:read',
    make: async (actor, input) => {
      const sheet = await readToday(actor, input)
      const nameOf = await namesFor(
        actor,
        sheet.work.flatMap(({ batchId }) => batchId ?? []),
      )
      return { revision: sheet.revision, page: todayPage(sheet, nameOf) }
    },
  },
  fill: {
    scope: 'plan:read',
    make: async (actor, input) => {
      const sheet = await readFillSheet(actor, input)
      return { revision: sheet.revision, page: fillPage(sheet) }
    },
  },
  load: {
    scope: 'plan:read',
    make: async (actor, input) => {
      const sheet = await readLoadSheet(actor, input)
      return { revision: sheet.revision, page: loadPage(sheet) }
    },
  },
  removals: {
    scope: 'movements:read',
    make: async (actor, input) => {
      const sheet = await readRemovals(actor, input)
      return { revision: sheet.revision, page: removalsPage(sheet, await namesFor(actor, [])) }
    },
  },
}

function namesFor({ client, distributorId }: Actor, batchIds: readonly string[]) {
  return client.$transaction((tx) => readNames(tx, distributorId, batchIds))
}

/** Parameters of an address as the input of a use-case: `site=REF` names a thing by its reference, `siteId=ID` by its id. */
export function inputOf(parameters: URLSearchParams): Record<string, unknown> {
  const things = ['site', 'route']
  return Object.fromEntries(
    [...parameters].map(([name, value]) => {
      if (things.includes(name)) return [name, { externalRef: value }]
      const thing = things.find((each) => name === `${each}Id`)
      return thing === undefined ? [name, value] : [thing, { id: value }]
    }),
  )
}
