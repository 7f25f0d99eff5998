// Facts that were assumed are said as they are: those that are named, or all of a day at a site.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, issue, NotFound } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { globalId, rowIdIn } from '../global-id.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'
import { decisionOf } from './fact-kind.ts'
import { fillConfirmed } from './kinds/fills.ts'
import { asItIs, MOST_FACTS, type Recorded, type RecordedLocked } from './record-facts.ts'
import { planInForce, repairPlan } from './repair-plan.ts'
import { beginFacts, writeFact } from './write-fact.ts'

const shape = z.strictObject({
  facts: z.array(globalId).min(1).max(MOST_FACTS).optional(),
  on: localDate.optional(),
  site: thingRef.optional(),
})

type Given = z.output<typeof shape>

/** Confirms assumed facts. Throws `InvalidInput`, `NotFound`, and `Conflict` for a fact that was not assumed or counts no more. */
export async function confirmFacts(actor: PlanningActor, input: unknown, saidBy: string): Promise<Recorded> {
  const reading = readInput(shape, input)
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, (locked) =>
    confirmLocked(actor, locked, reading, saidBy),
  )
  const { ids, snapshot, repaired } = result
  if (snapshot) actor.snapshots.keep({ ...snapshot, revision, epoch })
  return { revision, ids, ...(repaired ? { repaired } : {}) }
}

async function confirmLocked(
  actor: PlanningActor,
  locked: Locked,
  reading: Reading<Given>,
  saidBy: string,
): Promise<RecordedLocked> {
  const { tx, log, revision } = locked
  const { distributorId, clock } = actor
  const refs = new References(tx, distributorId)
  refs.take(reading)
  const rows = await assumedFacts(locked, distributorId, refs, reading.given)
  refs.settle()
  const inForce = await planInForce(actor, locked)
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const ids: string[] = []
  for (const row of rows) {
    const { subjects, ...columns } = row
    const assumed = factOf(columns)
    const fact =
      assumed.kind === 'FILLED'
        ? { ...assumed, data: await fillConfirmed({ tx, distributorId }, assumed.data) }
        : assumed
    const decision = decisionOf(row)
    const meant = {
      ...{ happened: fact, siteId: row.siteId, carriedOut: [], warnings: [] },
      subjects: subjects.map(({ kind: of, subjectId: id }) => ({ kind: of, id })),
      ...(decision ? { decision } : {}),
    }
    const said = { on: dayOf(row.on), at: fact.at, contentHash: row.contentHash, saidBy, assumed: false }
    const id = await writeFact(writing, meant, { ...said, replaces: [row.id] })
    log('FACT_CONFIRMED', { type: 'Fact', id }, { id: row.id }, { kind: row.kind, on: dayOf(row.on) })
    ids.push(id)
  }
  if (ids.length === 0) return { ids, ...(inForce ? { repaired: asItIs(inForce.plan) } : {}) }
  const repaired = await repairPlan(
    actor,
    locked,
    inForce,
    { ...writing.change, done: [] },
    {
      ...{ kind: 'FACTS_CONFIRMED', type: 'Fact', id: ids.at(-1) ?? '' },
    },
  )
  return { ids, ...(repaired ? { snapshot: repaired.snapshot, repaired } : {}) }
}

/** The facts to confirm, in the order in which they were assumed. */
async function assumedFacts({ tx }: Locked, distributorId: string, refs: References, { facts, on, site }: Given) {
  const isDay = on !== undefined && site !== undefined
  if ((facts !== undefined) === (on !== undefined || site !== undefined) || (facts === undefined && !isDay))
    refs.note(issue('facts', 'NOT_BOTH', 'name the facts, or a day (`on`) and its `site`'))
  const include = { subjects: true } as const
  const orderBy = { number: 'asc' as const }
  if (facts === undefined) {
    const siteId = site ? await refs.id('Site', site, 'site', { retired: true }) : ''
    if (on === undefined || siteId === '') return []
    const where = { distributorId, ...EFFECTIVE, assumed: true, siteId, on: dateOf(on) }
    return tx.fact.findMany({ where, include, orderBy, take: MOST_FACTS })
  }
  const ids = facts.map((text) => rowIdIn('Fact', text) ?? '')
  const rows = await tx.fact.findMany({ where: { distributorId, id: { in: ids } }, include, orderBy })
  for (const [index, id] of ids.entries()) {
    const row = rows.find((each) => each.id === id)
    const path = `facts[${index}]`
    if (!row) refs.refuse(path, new NotFound('Fact', facts[index] ?? ''))
    else if (!row.assumed || row.replacedById !== null)
      refs.refuse(path, new Conflict('STATUS_FORBIDS', 'The fact was not assumed, or it counts no more.'))
    if (ids.indexOf(id) < index) refs.note(issue(path, 'DUPLICATE_ENTRY', 'it is named already'))
  }
  return rows
}
