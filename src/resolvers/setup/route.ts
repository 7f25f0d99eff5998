// Routes: delivery rounds from a site, with the days on which they do not leave.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { cutOffOf } from '../../records/setup-to-problem.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, type RowKey, type Saving, useCasesOf } from './noun.ts'
import { externalRef, listOfDays, listOfWeekdays, name } from './shapes.ts'

/** Most drops of a route that have a place in its order. */
export const MOST_DROPS = 500

const shape = z.strictObject({
  externalRef,
  name,
  site: thingRef,
  weekdays: listOfWeekdays,
  transitDays: planned.route.transitDays,
  capacityLitres: planned.route.capacityLitres,
  cutOff: planned.route.cutOff,
  closedOn: listOfDays.default([]),
  /** The accounts that it serves, in the order of its drops. */
  drops: z.array(thingRef).max(MOST_DROPS).default([]),
})

const noun: Noun<typeof shape> = {
  kind: 'Route',
  inOrder: ['drops'],
  key: 'route',
  shape,
  fixed: ['site'],
  describe: async (tx, key) => {
    const { siteId, externalRef, capacityLitres, cutOffDaysBefore, cutOffAt, closures, accounts, ...row } =
      await tx.route.findUniqueOrThrow({
        where: { distributorId_id: key },
        omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
        include: {
          closures: { orderBy: { on: 'asc' } },
          accounts: { where: { position: { not: null } }, orderBy: { position: 'asc' } },
        },
      })
    return {
      ...row,
      site: { id: encodeGlobalId('Site', siteId) },
      externalRef: externalRef ?? undefined,
      capacityLitres: capacityLitres ?? undefined,
      cutOff: cutOffOf({ cutOffDaysBefore, cutOffAt }),
      closedOn: closures.map(({ on }) => dayOf(on)),
      drops: accounts.map(({ accountId }) => ({ id: encodeGlobalId('Account', accountId) })),
    }
  },
  save: async ({ tx, refs, isNew }, key, { site, cutOff, closedOn, drops, ...given }) => {
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    const accountIds = await accountsOfDrops({ tx, refs }, key, drops)
    refs.settle()
    const data = {
      ...given,
      siteId,
      externalRef: given.externalRef ?? null,
      capacityLitres: given.capacityLitres ?? null,
      cutOffDaysBefore: cutOff?.daysBefore ?? null,
      cutOffAt: cutOff?.at ?? null,
    }
    await tx.route.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofRoute = { distributorId: key.distributorId, routeId: key.id }
    await tx.routeClosure.deleteMany({ where: ofRoute })
    await tx.routeClosure.createMany({ data: closedOn.map((day) => ({ ...ofRoute, on: dateOf(day) })) })
    await saveDrops(tx, ofRoute, accountIds)
  },
  retire: async (tx, key, retiredAt) => {
    await tx.route.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createRoute, change: changeRoute, retire: retireRoute } = useCasesOf(noun)

/** The accounts of the drops; one that the route does not serve, or that stands twice, is noted. */
async function accountsOfDrops(
  { tx, refs }: Pick<Saving, 'tx' | 'refs'>,
  { distributorId, id }: RowKey,
  drops: readonly z.output<typeof thingRef>[],
): Promise<string[]> {
  if (drops.length === 0) return []
  const served = await tx.accountRoute.findMany({ where: { distributorId, routeId: id }, select: { accountId: true } })
  const ids: string[] = []
  for (const [index, ref] of drops.entries()) {
    const path = `drops[${index}]`
    const accountId = await refs.id('Account', ref, path, { retired: true })
    if (accountId === '') continue
    if (ids.includes(accountId))
      refs.note(issue(path, 'DUPLICATE_ENTRY', 'the account has a place among the drops already'))
    else if (!served.some((each) => each.accountId === accountId))
      refs.note(
        issue(
          path,
          'ROUTE_NOT_OF_ACCOUNT',
          'the route does not serve this account: add it to the `routes` of the account',
        ),
      )
    ids.push(accountId)
  }
  return ids
}

/** Numbers the drops; accounts that are not among them have no place. */
async function saveDrops(
  tx: TransactionClient,
  ofRoute: { distributorId: string; routeId: string },
  accountIds: readonly string[],
): Promise<void> {
  await tx.accountRoute.updateMany({ where: ofRoute, data: { position: null } })
  for (const [index, accountId] of accountIds.entries())
    await tx.accountRoute.updateMany({ where: { ...ofRoute, accountId }, data: { position: index + 1 } })
}
