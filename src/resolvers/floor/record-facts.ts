// What happened is recorded: one fact or several at once, all or nothing, with the plan in force repaired in the same transaction.
import { createHash, randomUUID } from 'node:crypto'
import { z } from 'zod'
import { type Locked, type Log, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { issue } from '../../errors.ts'
import { type CarriedOut, newlyDone, planAfter } from '../../floor/carried-out.ts'
import type { LocalDate, Plan } from '../../planner/documents/index.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import type { PlanRepair } from '../written.ts'
import type { Meant } from './fact-kind.ts'
import { FACT_INPUT_KEYS, FACT_INPUTS } from './kinds.ts'
import { type Item, meaning, type Spoken } from './meaning.ts'
import { planInForce, type Repaired, repairPlan } from './repair-plan.ts'
import { dueBefore, saidBefore, saidTwice } from './said-before.ts'
import { beginFacts, type FactWriting, type SaidOf, writeFact } from './write-fact.ts'

/** Most facts of one mutation: a whole fill day, a whole van. */
export const MOST_FACTS = 200

/** One fact of an input: exactly one kind, which `readFact` reads by its own shape. */
export const oneFact = z.strictObject(Object.fromEntries(FACT_INPUT_KEYS.map((key) => [key, z.unknown().optional()])))
const shape = z.strictObject({ facts: z.array(oneFact).min(1).max(MOST_FACTS) })

/** What recording answers. */
export interface Recorded {
  revision: number
  /** The facts, in the order of the input; one that was said before is the first one. */
  ids: string[]
  /** What the repair did to the plan in force; absent where none is. */
  repaired?: PlanRepair
}

/**
 * Records facts in their order, all or none. Throws `InvalidInput` with everything that is wrong, and `Conflict` where a
 * reference was used for another fact.
 */
export async function recordFacts(actor: PlanningActor, input: unknown, saidBy: string): Promise<Recorded> {
  const reading = readInput(shape, input)
  const items = reading.given.facts.map((fact, index) => readFact(fact, `facts[${index}]`))
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, (locked) => {
    const refs = new References(locked.tx, actor.distributorId)
    refs.take(reading)
    return recordItems(actor, locked, refs, items, saidBy)
  }).catch((error: unknown) => {
    throw refusedByDatabase(error) ?? error
  })
  const { snapshot, ids, repaired } = result
  if (snapshot) actor.snapshots.keep({ ...snapshot, revision, epoch })
  return { revision, ids, ...(repaired ? { repaired } : {}) }
}

/** Reads one fact of an input, which stands at `place`, by its kind's shape. */
export function readFact(fact: Record<string, unknown>, place: string): Item {
  const keys = FACT_INPUT_KEYS.filter((key) => fact[key] !== undefined && fact[key] !== null)
  const [key = 'reading'] = keys
  const path = `${place}.${key}`
  const within = (field: string) => (field === '' ? path : `${path}.${field}`)
  const { reading, mean } = FACT_INPUTS[key].read(fact[key] ?? {})
  const oneOf = keys.length === 1 ? [] : [issue(place, 'NOT_BOTH', 'say exactly one thing that happened')]
  const issues = [...reading.issues.map((each) => ({ ...each, path: within(each.path) })), ...oneOf]
  const content = JSON.stringify([key, fact[key]], (name, value: unknown) => (name === 'reference' ? undefined : value))
  return {
    ...{ path, mean },
    reading: { ...reading, issues, unread: reading.unread.map(within) },
    contentHash: createHash('sha256').update(content).digest('hex'),
  }
}

/** What a write of facts makes under the lock. Without a snapshot, nothing was written. */
export interface RecordedLocked extends Pick<Recorded, 'ids' | 'repaired'> {
  snapshot?: Repaired['snapshot']
}

/** The same under the lock. What is wrong besides may have been noted in `refs`: then nothing is written. */
export async function recordItems(
  actor: PlanningActor,
  locked: Locked,
  refs: References,
  items: readonly Item[],
  saidBy: string,
): Promise<RecordedLocked> {
  const { tx, revision } = locked
  const { distributorId, clock } = actor
  for (const { reading: each } of items) refs.take(each)
  const inForce = await planInForce(actor, locked)
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const ids: string[] = []
  const done: CarriedOut[] = []
  let plan = inForce?.plan
  let isNew = false
  for (const item of items) {
    const { contentHash, path } = item
    const { at, reference } = item.reading.given
    const known = await saidBefore(writing, refs, { path, reference, contentHash })
    if (known !== undefined) {
      ids.push(known)
      continue
    }
    const id = randomUUID()
    const spoken = await meaning({ tx, distributorId, clock, refs, plan, inPlaceOf: { writing, id } }, item)
    // Where something is wrong nothing is written: the rest is read to find what else is.
    if (!spoken || !refs.isClean) continue
    const said = { id, at, reference, contentHash, saidBy, assumed: false }
    const before = done.length
    ids.push(await recordMeant(locked.log, writing, spoken, said, done))
    isNew = true
    // What the last one makes of it the repair finds out.
    if (plan && item !== items.at(-1)) plan = planAfter(plan, done.slice(before), [])
  }
  refs.settle()
  if (!isNew) return { ids, ...(inForce ? { repaired: asItIs(inForce.plan) } : {}) }
  const cause = { kind: 'FACTS_RECORDED', type: 'Fact', id: ids.at(-1) ?? '' }
  const repaired = await repairPlan(actor, locked, inForce, { ...writing.change, done }, cause)
  return { ids, ...(repaired ? { snapshot: repaired.snapshot, repaired } : {}) }
}

/** The plan in force where nothing has happened that it did not know. */
export function asItIs(plan: Plan): Recorded['repaired'] {
  return { before: plan, carried: plan, after: plan }
}

/** Writes what is meant, what it implies first, and logs it. */
async function recordMeant(
  log: Log,
  writing: FactWriting,
  { meant, on, replaced }: Spoken,
  said: Omit<SaidOf, 'on'>,
  done: CarriedOut[],
): Promise<string> {
  for (const implied of meant.implied ?? []) {
    const spoken = { meant: implied, on: dayOfImplied(implied, on), replaced: undefined }
    await recordMeant(log, writing, spoken, { contentHash: '', saidBy: said.saidBy, assumed: true }, done)
  }
  const replaces = await dueBefore(writing, meant)
  const warnings = [...meant.warnings, ...(await saidTwice(writing, said.contentHash, on))]
  const id = await writeFact(writing, { ...meant, warnings }, { ...said, on, replaces })
  done.push(...(replaced ? newlyDone(meant.carriedOut, replaced) : meant.carriedOut))
  log('FACT_RECORDED', { type: 'Fact', id }, undefined, { kind: meant.happened.kind, on, siteId: meant.siteId })
  return id
}

function dayOfImplied({ carriedOut }: Meant, on: LocalDate): LocalDate {
  const fill = carriedOut.find((each) => each.kind === 'FILL')
  return fill && fill.on < on ? fill.on : on
}
