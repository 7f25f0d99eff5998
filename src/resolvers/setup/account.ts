// Accounts: customers' outlets, when they receive, how long they let beer settle, and the routes that serve them.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { MOST_HORIZON, onSheets, planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { MOST_ROUTE_DAYS, routeDayFaults } from './route-days.ts'
import { externalRef, listOfWeekdays, name, timeOfDay } from './shapes.ts'

/** Most routes that serve one account. */
export const MOST_ROUTES = 50

/** Most windows in which an account takes deliveries. */
export const MOST_WINDOWS = 20

const window = z.strictObject({
  weekdays: listOfWeekdays.default([1, 2, 3, 4, 5, 6, 7]),
  from: timeOfDay,
  to: timeOfDay,
})

const shape = z.strictObject({
  externalRef,
  name,
  routes: z.array(thingRef).max(MOST_ROUTES),
  receivesWeekdays: listOfWeekdays.default(planned.account.receivesWeekdays.parse(undefined)),
  settleDays: planned.account.settleDays,
  minDaysOnSale: planned.account.minDaysOnSale,
  maxEarlyDays: planned.account.maxEarlyDays,
  returnDays: planned.account.returnDays,
  ...onSheets.account,
  windows: z.array(window).max(MOST_WINDOWS).default([]),
})

const noun: Noun<typeof shape> = {
  kind: 'Account',
  key: 'account',
  shape,
  fixed: [],
  describe: async (tx, key) => {
    const { routes, windows, externalRef, settleDays, returnDays, notes, ...row } = await tx.account.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
      include: { routes: { orderBy: { routeId: 'asc' } }, windows: { orderBy: { n: 'asc' } } },
    })
    return {
      ...row,
      externalRef: externalRef ?? undefined,
      settleDays: settleDays ?? undefined,
      returnDays: returnDays ?? undefined,
      notes: notes ?? undefined,
      windows: windows.map(({ weekdays, from, to }) => ({ weekdays, from, to })),
      routes: routes.map(({ routeId }) => ({ id: encodeGlobalId('Route', routeId) })),
    }
  },
  save: async ({ tx, refs, names }, key, { routes, windows, ...given }) => {
    const routeIds = new Set<string>()
    for (const [index, ref] of routes.entries())
      routeIds.add(await refs.id('Route', ref, `routes[${index}]`, { retired: !names('routes') }))
    const { horizonDays } =
      routeIds.size * MOST_HORIZON <= MOST_ROUTE_DAYS
        ? { horizonDays: 1 }
        : await tx.distributor.findUniqueOrThrow({
            where: { id: key.distributorId },
            select: { horizonDays: true },
          })
    if (names('routes')) refs.note(...routeDayFaults(routeIds.size, horizonDays, 'routes'))
    for (const [index, { from, to }] of windows.entries())
      if (from >= to)
        refs.noteBeside(
          [`windows[${index}].from`],
          issue(`windows[${index}].to`, 'OUT_OF_RANGE', `is ${to}; a window that begins at ${from} ends later`),
        )
    refs.settle()
    const data = {
      ...given,
      externalRef: given.externalRef ?? null,
      settleDays: given.settleDays ?? null,
      returnDays: given.returnDays ?? null,
      notes: given.notes ?? null,
    }
    await tx.account.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofAccount = { distributorId: key.distributorId, accountId: key.id }
    // A route that serves it still keeps its place among the drops.
    await tx.accountRoute.deleteMany({ where: { ...ofAccount, routeId: { notIn: [...routeIds] } } })
    await tx.accountRoute.createMany({
      data: [...routeIds].map((routeId) => ({ ...ofAccount, routeId })),
      skipDuplicates: true,
    })
    await tx.accountWindow.deleteMany({ where: ofAccount })
    await tx.accountWindow.createMany({ data: windows.map((each, index) => ({ ...ofAccount, n: index + 1, ...each })) })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.account.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const {
  create: createAccount,
  enter: enterAccount,
  change: changeAccount,
  retire: retireAccount,
} = useCasesOf(noun)
