// Accounts: customers' outlets, when they receive, how long they let beer settle, and the routes that serve them.
import { z } from 'zod'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, listOfWeekdays, name } from './shapes.ts'

/** Most routes that serve one account. */
export const MOST_ROUTES = 50

const shape = z.strictObject({
  externalRef,
  name,
  routes: z.array(thingRef).max(MOST_ROUTES),
  receivesWeekdays: listOfWeekdays.default(planned.account.receivesWeekdays.parse(undefined)),
  settleDays: planned.account.settleDays,
  minDaysOnSale: planned.account.minDaysOnSale,
  maxEarlyDays: planned.account.maxEarlyDays,
  returnDays: planned.account.returnDays,
})

const noun: Noun<typeof shape> = {
  kind: 'Account',
  key: 'account',
  shape,
  fixed: [],
  describe: async (tx, key) => {
    const { routes, externalRef, settleDays, returnDays, ...row } = await tx.account.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true },
      include: { routes: { orderBy: { routeId: 'asc' } } },
    })
    return {
      ...row,
      externalRef: externalRef ?? undefined,
      settleDays: settleDays ?? undefined,
      returnDays: returnDays ?? undefined,
      routes: routes.map(({ routeId }) => ({ id: encodeGlobalId('Route', routeId) })),
    }
  },
  save: async ({ tx, refs, names }, key, { routes, ...given }) => {
    const routeIds = new Set<string>()
    for (const [index, ref] of routes.entries())
      routeIds.add(await refs.id('Route', ref, `routes[${index}]`, { retired: !names('routes') }))
    refs.settle()
    const data = {
      ...given,
      externalRef: given.externalRef ?? null,
      settleDays: given.settleDays ?? null,
      returnDays: given.returnDays ?? null,
    }
    await tx.account.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofAccount = { distributorId: key.distributorId, accountId: key.id }
    await tx.accountRoute.deleteMany({ where: ofAccount })
    await tx.accountRoute.createMany({ data: [...routeIds].map((routeId) => ({ ...ofAccount, routeId })) })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.account.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createAccount, change: changeAccount, retire: retireAccount } = useCasesOf(noun)
