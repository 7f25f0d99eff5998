// Facts about empty containers: returned, washed, bought, scrapped, lost, found, another owner's, counted.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import { accountPlace } from '../../../floor/ledger/place.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { findSite, ofTheSameDay } from './find.ts'

const count = z.int().min(0).max(1_000_000)
const some = z.int().min(1).max(1_000_000)
const ofFleet = { ...said, site: thingRef, containerType: thingRef }

interface FleetInput {
  site: z.output<typeof thingRef>
  containerType: z.output<typeof thingRef>
}

/** The fleet that an input names: a site and a container type. */
async function findFleet(context: FactContext, { site: siteRef, containerType }: FleetInput) {
  const site = await findSite(context, siteRef)
  const { refs, path } = context
  const typeId = await refs.id('ContainerType', containerType, path('containerType'), { retired: true })
  if (!site || typeId === '') return undefined
  context.dayAt(site)
  return { siteId: site.id, typeId }
}

function aboutFleet(siteId: string, happened: Meant['happened'], warnings: Warning[] = []): Meant {
  return { happened, siteId, subjects: [], carriedOut: [], warnings }
}

export const returned = factKind({
  shape: z.strictObject({ ...ofFleet, account: thingRef, quantity: some, unfit: count.default(0) }),
  mean: async (context, { account, quantity, unfit, ...input }) => {
    const { refs, path, note, tx, distributorId } = context
    const fleet = await findFleet(context, input)
    const accountId = await refs.id('Account', account, path('account'), { retired: true })
    if (unfit > quantity) note(issue(path('unfit'), 'MORE_THAN_RETURNED', `${unfit} unfit of ${quantity} returned`))
    if (!fleet || accountId === '') return undefined
    const place = accountPlace(accountId, fleet.siteId, fleet.typeId)
    const row = await tx.placeBalance.findUnique({ where: { distributorId_place: { distributorId, place } } })
    const known = Number(row?.amount ?? 0)
    const warnings: Warning[] =
      quantity > known
        ? [{ code: 'RETURN_OF_NONE', message: `${quantity} came back from an account that had ${known}.` }]
        : []
    return {
      ...aboutFleet(fleet.siteId, { kind: 'RETURNED', data: { accountId, ...fleet, quantity, unfit } }, warnings),
      subjects: [{ kind: 'ACCOUNT', id: accountId }],
    }
  },
})

export const washed = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: some }),
  mean: async (context, { quantity, ...input }) => {
    const fleet = await findFleet(context, input)
    if (!fleet) return undefined
    const isOfDay = ofTheSameDay(context)
    const isOfFleet = ({ siteId, typeId }: typeof fleet) => siteId === fleet.siteId && typeId === fleet.typeId
    // What was assumed of the day is said otherwise.
    await context.takeAssumed({
      kinds: ['WASHED'],
      where: async (fact) => fact.kind === 'WASHED' && isOfFleet(fact.data) && (await isOfDay(fact)),
    })
    return aboutFleet(fleet.siteId, { kind: 'WASHED', data: { ...fleet, quantity } })
  },
})

export const bought = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: some }),
  mean: async (context, { quantity, ...input }) => {
    const fleet = await findFleet(context, input)
    return fleet && aboutFleet(fleet.siteId, { kind: 'BOUGHT', data: { ...fleet, quantity } })
  },
})

export const scrapped = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: some, from: z.enum(['CLEAN', 'DIRTY']) }),
  mean: async (context, { quantity, from, ...input }) => {
    const fleet = await findFleet(context, input)
    return fleet && aboutFleet(fleet.siteId, { kind: 'SCRAPPED', data: { ...fleet, quantity, from } })
  },
})

export const containersLost = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: some, account: thingRef.optional() }),
  mean: async (context, { quantity, account, ...input }) => {
    const fleet = await findFleet(context, input)
    const accountId = account
      ? await context.refs.id('Account', account, context.path('account'), { retired: true })
      : undefined
    if (!fleet || accountId === '') return undefined
    return {
      ...aboutFleet(fleet.siteId, { kind: 'LOST', data: { ...fleet, quantity, accountId } }),
      subjects: accountId === undefined ? [] : [{ kind: 'ACCOUNT', id: accountId }],
    }
  },
})

export const containersFound = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: some, clean: z.boolean() }),
  mean: async (context, { quantity, clean, ...input }) => {
    const fleet = await findFleet(context, input)
    return fleet && aboutFleet(fleet.siteId, { kind: 'FOUND', data: { ...fleet, quantity, clean } })
  },
})

export const foreignContainers = factKind({
  shape: z.strictObject({
    ...said,
    site: thingRef,
    quantity: some,
    owner: z.string().min(1).max(200),
    account: thingRef.optional(),
  }),
  mean: async (context, { site: siteRef, quantity, owner, account }) => {
    const site = await findSite(context, siteRef)
    const accountId = account
      ? await context.refs.id('Account', account, context.path('account'), { retired: true })
      : undefined
    if (!site || accountId === '') return undefined
    context.dayAt(site)
    return aboutFleet(site.id, { kind: 'FOREIGN', data: { siteId: site.id, quantity, owner, accountId } })
  },
})

export const fleetCounted = factKind({
  shape: z.strictObject({ ...ofFleet, quantity: count }),
  mean: async (context, { quantity, ...input }) => {
    const fleet = await findFleet(context, input)
    return fleet && aboutFleet(fleet.siteId, { kind: 'FLEET_COUNTED', data: { ...fleet, quantity } })
  },
})
