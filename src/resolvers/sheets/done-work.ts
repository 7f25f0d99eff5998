// What was said, or assumed, to be done at a site on a day, as the work that it was.
import { dateOf } from '../../database/calendar-day.ts'
import type { Fact, FactKind } from '../../floor/facts/fact.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import type { DueWork } from '../../sheets/today.ts'
import type { SheetSession } from './sheet-session.ts'

const KINDS: readonly FactKind[] = [
  'READING',
  'BREWED',
  'DRY_HOPPED',
  'CRASH_BEGUN',
  'FILLED',
  'DUMPED',
  'TRANSFERRED',
  'DISPATCHED',
  'WASHED',
  'VESSEL_CLEANED',
]

/** Work of the day of which a fact says that it is done; a route's dispatches are one load. */
export async function doneWork({ tx, distributorId }: SheetSession, siteId: string, day: string): Promise<DueWork[]> {
  const where = { distributorId, siteId, ...EFFECTIVE, on: dateOf(day), kind: { in: [...KINDS] } }
  const rows = await tx.fact.findMany({ where, orderBy: { number: 'asc' } })
  const done = rows.map(factOf).flatMap((fact) => {
    const work = workOf(fact)
    return work ? { ...work, done: { factId: fact.id, isAssumed: fact.assumed } } : []
  })
  return [...done.filter(({ kind }) => kind !== 'LOAD'), ...loadsOf(done)]
}

function workOf(fact: Fact): Omit<DueWork, 'done'> | undefined {
  switch (fact.kind) {
    case 'READING':
      return { kind: 'READING', batchId: fact.data.batchId }
    case 'BREWED': {
      const { batchId, beerId, vesselId, ml } = fact.data
      return { kind: 'BREW', batchId, beerId, vesselId, litres: ml / 1000 }
    }
    case 'DRY_HOPPED':
      return { kind: 'DRY_HOP', batchId: fact.data.batchId }
    case 'CRASH_BEGUN':
      return { kind: 'CRASH', batchId: fact.data.batchId }
    case 'FILLED': {
      const { batchId, packId, quantity, from, fillerId } = fact.data
      const kind = from === 'FERMENTER' ? 'FILL_FROM_FERMENTER' : 'FILL_FROM_BRIGHT'
      return { ...{ kind, batchId, packId, quantity }, ...(fillerId === undefined ? {} : { fillerId }) }
    }
    case 'DUMPED':
      return { kind: 'DUMP', batchId: fact.data.batchId, litres: (fact.data.ml ?? 0) / 1000 }
    case 'TRANSFERRED': {
      const { batchId, fromVesselId: vesselId, toVesselId } = fact.data
      return { kind: 'TRANSFER', batchId, vesselId, toVesselId }
    }
    case 'DISPATCHED': {
      const { routeId, lots } = fact.data
      return { kind: 'LOAD', routeId, quantity: lots.reduce((sum, { quantity }) => sum + quantity, 0) }
    }
    case 'WASHED':
      return { kind: 'WASH', containerTypeId: fact.data.typeId, quantity: fact.data.quantity }
    case 'VESSEL_CLEANED':
      return { kind: 'CLEAN_VESSEL', vesselId: fact.data.vesselId }
    default:
      return undefined
  }
}

/** The dispatches of a route on the day are one load; it counts as assumed where any of them is. */
function loadsOf(done: readonly DueWork[]): DueWork[] {
  const byRoute = new Map<string, DueWork>()
  for (const work of done) {
    if (work.kind !== 'LOAD' || work.routeId === undefined || !work.done) continue
    const known = byRoute.get(work.routeId)
    const isAssumed = work.done.isAssumed || known?.done?.isAssumed === true
    byRoute.set(work.routeId, {
      ...work,
      quantity: (known?.quantity ?? 0) + (work.quantity ?? 0),
      done: { factId: known?.done?.factId ?? work.done.factId, isAssumed },
    })
  }
  return [...byRoute.values()]
}
