// Movements for accounting, read from the ledger: one row for each entry that is a dispatch, a return or a loss.
import { z } from 'zod'
import { dateOf } from '../database/calendar-day.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import { keyOf, kindOf } from '../floor/ledger/place.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import { depositsOf, MOVEMENT_KINDS, type Movement, type MovementKind } from '../sheets/movement.ts'
import { readStrengths } from './batch-strengths.ts'
import { byId } from './sheet-records.ts'

/** Which movements. */
export interface MovementFilter {
  kinds?: readonly MovementKind[] | undefined
  from?: LocalDate | undefined
  to?: LocalDate | undefined
  siteId?: string | undefined
  /** Of facts that were recorded, or replaced, at this instant or later. */
  changedSince?: Date | undefined
}

const PLACE = (column: 'from' | 'to') => Prisma.raw(`split_part(e."${column}", '|', 1)`)
const [FROM, TO] = [PLACE('from'), PLACE('to')]

/** Whether an entry goes between a place and others, in either direction: corrections go back. */
function between(place: string, ...others: string[]): Prisma.Sql {
  return Prisma.sql`((${FROM} = ${place} AND ${TO} = ANY(${others}::text[])) OR (${TO} = ${place} AND ${FROM} = ANY(${others}::text[])))`
}

const LOSSES = ['TRUB', 'SET_UP', 'OVERFILL', 'SPOILED', 'REMAINDER', 'LOST', 'DUMPED']

/** The kind of each entry; null of those that accounting does not book. What a fact means by an entry goes by its places. */
const KIND = Prisma.sql`CASE
  WHEN e."amount" = 0 THEN NULL
  WHEN e."unit" = 'MILLILITRES' THEN CASE WHEN ${between('VESSEL', ...LOSSES)} THEN 'BEER_LOST' END
  WHEN f."kind" = 'DISPATCHED' AND ${between('FILLED', 'ON_ROAD')} THEN 'DISPATCHED'
  WHEN f."kind" = 'REFUSED' AND ${between('ON_ROAD', 'FILLED')} THEN 'REFUSED'
  WHEN f."kind" = 'DELIVERED' AND ${between('ON_ROAD', 'AT_ACCOUNT')} THEN 'DELIVERED'
  WHEN f."kind" = 'RETURNED' AND ${between('AT_ACCOUNT', 'DIRTY', 'SCRAPPED')} THEN 'RETURNED'
  WHEN f."kind" = 'ISSUED' AND ${between('FILLED', 'DIRTY', 'SCRAPPED')} THEN 'ISSUED'
  WHEN f."kind" = 'LOT_DESTROYED' AND ${between('FILLED', 'DIRTY', 'SCRAPPED')} THEN 'DESTROYED'
  WHEN ${FROM} = 'LOST' OR ${TO} = 'LOST' OR ${FROM} = 'SCRAPPED' OR ${TO} = 'SCRAPPED' THEN 'CONTAINERS_LOST'
END`

const SOURCE = Prisma.sql`(SELECT ${KIND} AS "movement", f."kind" AS "fact", f."assumed", f."siteId", f."updatedAt",
    e."revision", e."n", e."on", e."factId", e."amount", e."from", e."to", e."reversesRevision" IS NOT NULL AS "isReversal"
  FROM "LedgerEntry" e JOIN "Fact" f ON f."distributorId" = e."distributorId" AND f."id" = e."factId"`

/** The entries that are asked for, as a table `m`. */
export function movementsIn(distributorId: string, filter: MovementFilter): Prisma.Sql {
  const { kinds = MOVEMENT_KINDS, from, to, siteId, changedSince } = filter
  const conditions = [
    Prisma.sql`e."distributorId" = ${distributorId}`,
    ...(from === undefined ? [] : [Prisma.sql`e."on" >= ${dateOf(from)}`]),
    ...(to === undefined ? [] : [Prisma.sql`e."on" <= ${dateOf(to)}`]),
    ...(siteId === undefined ? [] : [Prisma.sql`f."siteId" = ${siteId}`]),
    ...(changedSince === undefined ? [] : [Prisma.sql`f."updatedAt" >= ${changedSince}`]),
  ]
  return Prisma.sql`${SOURCE} WHERE ${Prisma.join(conditions, ' AND ')}) m WHERE m."movement" = ANY(${[...kinds]}::text[])`
}

const rowsShape = z.array(
  z.object({
    ...{ movement: z.enum(MOVEMENT_KINDS), assumed: z.boolean(), revision: z.number(), n: z.number(), on: z.string() },
    ...{ factId: z.string(), amount: z.number(), from: z.string(), to: z.string(), isReversal: z.boolean() },
    epoch: z.string(),
  }),
)
type Row = z.output<typeof rowsShape>[number]

/** The rows of movements, at most so many, in the order of the ledger or from its end. */
export async function readMovementRows(
  tx: TransactionClient,
  distributorId: string,
  where: Prisma.Sql,
  { count, fromEnd }: { count: number; fromEnd: boolean },
): Promise<Row[]> {
  const order = Prisma.raw(fromEnd ? 'm."revision" DESC, m."n" DESC' : 'm."revision", m."n"')
  return rowsShape.parse(
    await tx.$queryRaw`
      SELECT m."movement", m."assumed", m."revision", m."n", m."on"::text, m."factId", m."amount", m."from", m."to", m."isReversal",
        coalesce((SELECT c."epoch"::text FROM "ChangeLogEntry" c
          WHERE c."distributorId" = ${distributorId} AND c."revision" = m."revision" LIMIT 1), '') AS "epoch"
      FROM ${where} ORDER BY ${order} LIMIT ${count}::int`,
  )
}

/** Movements with all that they name, in six queries and those of the strengths. */
export async function withNames(
  tx: TransactionClient,
  distributorId: string,
  rows: readonly Row[],
): Promise<Movement[]> {
  const read = rows.map((row) => ({ row, ...idsOf(row) }))
  const lines = byId(
    await tx.orderLine.findMany({
      where: { distributorId, id: { in: read.flatMap(({ orderLineId }) => orderLineId ?? []) } },
      include: { order: true, pack: { include: { containerType: true } } },
    }),
  )
  const lots = byId(
    await tx.stockLot.findMany({
      where: { distributorId, id: { in: read.flatMap(({ lotId }) => lotId ?? []) } },
      include: { pack: { include: { containerType: true, beer: true } } },
    }),
  )
  const batches = byId(
    await tx.batch.findMany({
      where: { distributorId, id: { in: read.flatMap(({ batchId }) => batchId ?? []) } },
      include: { beer: true },
    }),
  )
  const batchIds = [...batches.keys(), ...[...lots.values()].flatMap(({ batchId }) => batchId ?? [])]
  const strengthOf = await readStrengths(tx, distributorId, batchIds)
  return read.map(({ row, lotId, orderLineId, accountId, typeId, batchId }) => {
    const [lot, line] = [lots.get(lotId ?? ''), lines.get(orderLineId ?? '')]
    const ofBatch = batchId ?? lot?.batchId ?? undefined
    const beer = lot?.pack.beer ?? batches.get(ofBatch ?? '')?.beer
    const amount = signOf(row) * row.amount
    const isBeer = row.movement === 'BEER_LOST'
    return {
      ...{ kind: row.movement, revision: row.revision, n: row.n, epoch: row.epoch, day: row.on, factId: row.factId },
      ...{ isAssumed: row.assumed, isReversal: row.isReversal, orderLineId, lotId, lotCode: lot?.code },
      accountId: accountId ?? line?.order.accountId,
      ...{ orderNumber: line?.order.number, orderRef: line?.order.externalRef ?? undefined },
      ...{ batchId: ofBatch, beerId: beer?.id, containerTypeId: lot?.pack.containerTypeId ?? typeId },
      containers: isBeer ? 0 : amount,
      litres: isBeer ? amount / 1000 : amount * (lot?.pack.containerType.nominalLitres ?? 0),
      strength: beer && strengthOf(ofBatch, beer.abv),
      deposits: isBeer ? 0 : depositsOf(row.movement, amount, accountId !== undefined),
    }
  })
}

/** The place that each kind leaves; a correction comes back to it. */
const LEAVES: Readonly<Record<MovementKind, string | undefined>> = {
  ...{ DISPATCHED: 'FILLED', ISSUED: 'FILLED', DESTROYED: 'FILLED', REFUSED: 'ON_ROAD', DELIVERED: 'ON_ROAD' },
  ...{ RETURNED: 'AT_ACCOUNT', CONTAINERS_LOST: undefined, BEER_LOST: 'VESSEL' },
}

function signOf({ movement, from }: Row): 1 | -1 {
  const left = kindOf(from)
  const place = LEAVES[movement]
  if (place === undefined) return left === 'LOST' || left === 'SCRAPPED' ? -1 : 1
  return left === place ? 1 : -1
}

/** What the places of an entry name. */
function idsOf({
  from,
  to,
}: Row): Partial<Record<'lotId' | 'orderLineId' | 'accountId' | 'typeId' | 'batchId', string>> {
  return Object.assign({}, ...[from, to].map(idsAt))
}

function idsAt(place: string) {
  const [first = '', second = '', third = ''] = keyOf(place)
  switch (kindOf(place)) {
    case 'FILLED':
      return { lotId: first }
    case 'ON_ROAD':
      return { orderLineId: first, lotId: second }
    case 'AT_ACCOUNT':
      return { accountId: first, typeId: third }
    case 'CLEAN':
    case 'DIRTY':
      return { typeId: second }
    case 'VESSEL':
      return { batchId: first }
    default:
      return {}
  }
}
