// What the ledger says of containers that are out, on the road or dirty, in a fixed number of queries that read the last months alone.
import { z } from 'zod'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import type { ContainerBooks, FleetKey } from '../floor/containers/fleet-containers.ts'
import { accountPlace, dirtyPlace, type Place } from '../floor/ledger/place.ts'
import { addDays, type LocalDate } from '../planner/documents/index.ts'
import { factsOn } from './fact-rows.ts'
import { groupBy } from './group.ts'

/** Days of history that say how long an account keeps containers, beyond the days that it is known to need. */
const RECENT_DAYS = 90

/** What of the set-up decides what is read. */
export interface ContainersOf {
  today: LocalDate
  fleets: readonly (FleetKey & { washDays: number })[]
  /** Every account, a retired one too: it may have containers. */
  accounts: readonly { id: string; returnDays: number | null }[]
}

const balancesShape = z.array(z.object({ place: z.string(), amount: z.int() }))

const movesShape = z.array(
  z.object({
    place: z.string(),
    on: z.date(),
    kind: z.enum(['CAME', 'FOUND', 'RETURNED', 'GONE']),
    settleDays: z.int(),
    quantity: z.int(),
  }),
)

/** Reads it in at most six queries. */
export async function readContainers(
  tx: TransactionClient,
  distributorId: string,
  { today, fleets, accounts }: ContainersOf,
): Promise<ContainerBooks> {
  const first = await tx.ledgerEntry.findFirst({
    where: { distributorId },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    select: { on: true },
  })
  if (!first) return { accounts: [], road: [], dirty: [] }
  const ofAccounts = new Map(
    accounts.flatMap(({ id: accountId }) =>
      fleets.map(({ siteId, typeId }) => [accountPlace(accountId, siteId, typeId), { accountId, siteId, typeId }]),
    ),
  )
  const ofDirty = new Map(fleets.map(({ siteId, typeId }) => [dirtyPlace(siteId, typeId), { siteId, typeId }]))
  const places = [...ofAccounts.keys(), ...ofDirty.keys()]
  // One parameter, however many accounts there are.
  const known = balancesShape.parse(
    await tx.$queryRaw`
      SELECT "place", "amount"::int FROM "PlaceBalance"
      WHERE "distributorId" = ${distributorId} AND "place" = ANY(${places}::text[]) ORDER BY "place" COLLATE "C"`,
  )
  const held = new Map(known.map(({ place, amount }) => [place, amount]))
  const longest = Math.max(0, ...accounts.map(({ returnDays }) => returnDays ?? 0))
  const moves = groupBy(
    await readMoves(tx, distributorId, [...held.keys()], {
      accountsSince: addDays(today, -RECENT_DAYS - longest),
      dirtySince: addDays(today, -Math.max(0, ...fleets.map(({ washDays }) => washDays))),
    }),
    ({ place }) => place,
  )
  const movesOf = (place: Place) => moves(place).map(({ on, place: _, ...move }) => ({ ...move, day: dayOf(on) }))
  return {
    recordsBegan: dayOf(first.on),
    accounts: [...held].flatMap(([place, amount]) => {
      const account = ofAccounts.get(place)
      return account ? [{ ...account, held: amount, moves: movesOf(place) }] : []
    }),
    dirty: [...held].flatMap(([place, amount]) => {
      const fleet = ofDirty.get(place)
      return fleet ? [{ ...fleet, held: amount, arrived: movesOf(place).filter(({ kind }) => kind === 'CAME') }] : []
    }),
    road: await readRoad(tx, distributorId),
  }
}

/** What came to places and left them, by day. Entries that were taken back, and those that take them back, do not count. */
async function readMoves(
  tx: TransactionClient,
  distributorId: string,
  places: readonly Place[],
  { accountsSince, dirtySince }: { accountsSince: LocalDate; dirtySince: LocalDate },
): Promise<z.output<typeof movesShape>> {
  if (places.length === 0) return []
  const accountPlaces = places.filter((place) => place.startsWith('AT_ACCOUNT'))
  const dirtyPlaces = places.filter((place) => place.startsWith('DIRTY'))
  return movesShape.parse(
    await tx.$queryRaw`
      WITH "touching" AS (
        SELECT e."to" AS "place", true AS "came", e.* FROM "LedgerEntry" e
        WHERE e."distributorId" = ${distributorId} AND e."to" = ANY(${accountPlaces}::text[])
          AND e."on" >= ${dateOf(accountsSince)}
        UNION ALL
        SELECT e."from", false, e.* FROM "LedgerEntry" e
        WHERE e."distributorId" = ${distributorId} AND e."from" = ANY(${accountPlaces}::text[])
          AND e."on" >= ${dateOf(accountsSince)}
        UNION ALL
        SELECT e."to", true, e.* FROM "LedgerEntry" e
        WHERE e."distributorId" = ${distributorId} AND e."to" = ANY(${dirtyPlaces}::text[])
          AND e."on" >= ${dateOf(dirtySince)}
      )
      SELECT t."place", t."on",
        CASE WHEN t."came" AND t."from" = 'FOUND' AND split_part(t."place", '|', 1) = 'AT_ACCOUNT' THEN 'FOUND' WHEN t."came" THEN 'CAME'
          WHEN t."to" = 'SCRAPPED' OR split_part(t."to", '|', 1) = 'DIRTY' THEN 'RETURNED' ELSE 'GONE' END AS "kind",
        CASE WHEN t."came" THEN COALESCE(a."settleDays", p."settleDays", 0) ELSE 0 END AS "settleDays",
        SUM(t."amount")::int AS "quantity"
      FROM "touching" t
      LEFT JOIN "StockLot" l ON l."distributorId" = t."distributorId" AND l."id" = split_part(t."from", '|', 3)
      LEFT JOIN "Pack" p ON p."distributorId" = l."distributorId" AND p."id" = l."packId"
      LEFT JOIN "Account" a ON a."distributorId" = t."distributorId" AND a."id" = split_part(t."place", '|', 2)
      WHERE t."amount" > 0 AND t."reversesRevision" IS NULL AND NOT EXISTS (
        SELECT 1 FROM "LedgerEntry" r
        WHERE r."distributorId" = t."distributorId" AND r."from" = t."to" AND r."on" >= t."on"
          AND r."reversesRevision" = t."revision" AND r."reversesN" = t."n")
      GROUP BY 1, 2, 3, 4
      ORDER BY 1, 2, 3, 4`,
  )
}

/** What has left for a line and has not arrived: of the newest dispatches of the lines of which something is on the road. */
async function readRoad(tx: TransactionClient, distributorId: string): Promise<ContainerBooks['road']> {
  const lines = await tx.orderLine.findMany({
    where: { distributorId, onRoad: { gt: 0 } },
    select: { id: true, onRoad: true },
    orderBy: { id: 'asc' },
  })
  if (lines.length === 0) return []
  const ids = lines.map(({ id }) => id)
  const facts = await factsOn(tx, distributorId, { kind: 'ORDER_LINE', ids }, ['DISPATCHED'])
  const left = new Map(lines.map(({ id, onRoad }) => [id, onRoad]))
  return facts.toReversed().flatMap(({ data: { orderLineId, accountId, siteId, typeId, serveOn, lots } }) => {
    const sent = lots.reduce((sum, { quantity }) => sum + quantity, 0)
    const quantity = Math.min(sent, left.get(orderLineId) ?? 0)
    left.set(orderLineId, (left.get(orderLineId) ?? 0) - quantity)
    return quantity === 0 ? [] : [{ accountId, siteId, typeId, serveOn, quantity }]
  })
}
