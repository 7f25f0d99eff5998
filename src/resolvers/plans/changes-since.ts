// What others have done to the records since a revision, from the change log: record by record, value by value.
import type { TransactionClient } from '../../database/client.ts'
import type { RecordChange } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { GAVE_WAY } from '../orders/order-answer.ts'
import { packsIn, recordDifferences } from './record-differences.ts'

/** Most entries of the change log of which values are compared. */
const MOST_ENTRIES = 100

export interface ChangesSince {
  /** Of the newest entries; for each at least one. */
  changes: RecordChange[]
  /** Orders that were placed, amended or cancelled, reserved ones too. */
  orderIds: Set<string>
  /** Order lines that gave way to a promise. */
  gaveWay: Set<string>
}

/** Reads what happened after a revision. */
export async function changesSince(
  tx: TransactionClient,
  distributorId: string,
  revision: number,
): Promise<ChangesSince> {
  const where = { distributorId, revision: { gt: revision } }
  const touched = await tx.changeLogEntry.findMany({
    where: { ...where, entityType: { in: ['Order', 'Reservation'] } },
    distinct: ['entityType', 'entityId'],
    select: { entityType: true, entityId: true },
  })
  const idsOf = (type: string) => touched.filter((each) => each.entityType === type).map(({ entityId }) => entityId)
  const gaveWay = await tx.changeLogEntry.findMany({
    where: { ...where, entityType: 'OrderLine', kind: GAVE_WAY },
    select: { entityId: true },
  })
  const reserved = await tx.reservation.findMany({
    where: { distributorId, id: { in: idsOf('Reservation') } },
    select: { orderId: true },
  })
  const newest = await tx.changeLogEntry.findMany({
    where,
    orderBy: [{ revision: 'desc' }, { n: 'desc' }],
    take: MOST_ENTRIES,
    select: { revision: true, kind: true, entityType: true, entityId: true, before: true, after: true },
  })
  const packIds = [...new Set(newest.flatMap(({ before, after }) => [...packsIn(before), ...packsIn(after)]))]
  const packs = await tx.pack.findMany({
    where: { distributorId, id: { in: packIds } },
    select: { id: true, name: true },
  })
  const names = new Map(packs.map(({ id, name }) => [id, name]))
  return {
    changes: newest.toReversed().flatMap((entry) => changesOf(entry, names)),
    orderIds: new Set([...idsOf('Order'), ...reserved.map(({ orderId }) => orderId)]),
    gaveWay: new Set(gaveWay.map(({ entityId }) => entityId)),
  }
}

interface LogEntry {
  revision: number
  kind: string
  entityType: string
  entityId: string
  before: unknown
  after: unknown
}

/** The values that an entry says are different; the thing itself where it came or went. `packs` are their names by id. */
function changesOf(
  { revision, kind, entityType, entityId, before, after }: LogEntry,
  packs: ReadonlyMap<string, string>,
): RecordChange[] {
  const [was, is] = [fieldsOf(before), fieldsOf(after)]
  const entity = { type: entityType, id: encodeGlobalId(entityType, entityId) }
  const event = { event: kind, revision, entity }
  const thing = `${entityType} "${nameOf(is) ?? nameOf(was) ?? entityId}"`
  const different = was && is ? recordDifferences(was, is, packs) : []
  if (different.length === 0)
    return [
      {
        what: thing,
        before: was ? (nameOf(was) ?? entityId) : null,
        now: is ? (nameOf(is) ?? entityId) : null,
        ...event,
      },
    ]
  return different.map((each) => ({ ...each, what: `${thing}: ${each.what}`, ...event }))
}

/** The fields of an entry's side; undefined where it has none. */
function fieldsOf(value: unknown): Record<string, unknown> | undefined {
  const fields = Object.entries(typeof value === 'object' && value !== null ? value : {})
  return fields.length === 0 ? undefined : Object.fromEntries(fields)
}

/** What people call a thing. */
function nameOf(fields: Record<string, unknown> | undefined): string | undefined {
  for (const key of ['name', 'number', 'code', 'externalRef']) {
    const value = fields?.[key]
    if (typeof value === 'string' || typeof value === 'number') return String(value)
  }
  return undefined
}
