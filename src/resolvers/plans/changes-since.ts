// What others have done to the records since a revision, as the change log has it: record by record, value by value.
import type { TransactionClient } from '../../database/client.ts'
import type { RecordChange } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'

/** Most entries of the change log of which values are compared. */
const MOST_ENTRIES = 100

export interface ChangesSince {
  /** Of the newest entries; for each at least one. */
  changes: RecordChange[]
  /** Orders that were placed, amended or cancelled, reserved ones too. */
  orderIds: Set<string>
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
  return {
    changes: newest.toReversed().flatMap(changesOf),
    orderIds: new Set([...idsOf('Order'), ...reserved.map(({ orderId }) => orderId)]),
  }
}

interface Entry {
  revision: number
  kind: string
  entityType: string
  entityId: string
  before: unknown
  after: unknown
}

/** The values that an entry says are different; the thing itself where it came or went. */
function changesOf({ revision, kind, entityType, entityId, before, after }: Entry): RecordChange[] {
  const [was, is] = [fieldsOf(before), fieldsOf(after)]
  const entity = { type: entityType, id: encodeGlobalId(entityType, entityId) }
  const event = { event: kind, revision, entity }
  const thing = `${entityType} "${nameOf(is) ?? nameOf(was) ?? entityId}"`
  const keys = [...new Set([...was.keys(), ...is.keys()])]
  const different = keys.filter((key) => textOf(was.get(key)) !== textOf(is.get(key)))
  if (was.size === 0 || is.size === 0 || different.length === 0)
    return [
      {
        what: thing,
        before: was.size ? (nameOf(was) ?? entityId) : null,
        now: is.size ? (nameOf(is) ?? entityId) : null,
        ...event,
      },
    ]
  return different.map((key) => ({
    what: `${thing}: ${key}`,
    before: textOf(was.get(key)),
    now: textOf(is.get(key)),
    ...event,
  }))
}

function fieldsOf(value: unknown): Map<string, unknown> {
  return new Map(typeof value === 'object' && value !== null ? Object.entries(value) : [])
}

/** What people call a thing. */
function nameOf(fields: Map<string, unknown>): string | undefined {
  for (const key of ['name', 'number', 'code', 'externalRef']) {
    const value = fields.get(key)
    if (typeof value === 'string' || typeof value === 'number') return String(value)
  }
  return undefined
}

function textOf(value: unknown): string | null {
  if (value === undefined || value === null) return null
  return typeof value === 'string' ? value : JSON.stringify(value)
}
